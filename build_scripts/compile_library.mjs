// Runs compile_library.py inside a Pyodide under Node and writes the two zips.
//
//   node compile_library.mjs PYODIDE_FOLDER PACKAGE_PARENT PACKAGE OUT BORROWED
//
// BORROWED is a JSON file: the text of each module that the package may borrow, by its path.
// The modules that Pyodide has loaded are noted before anything else is imported.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [pyodideFolder, packageParent, packageName, out, borrowed] = process.argv.slice(2);

/**
 * The text of every Python module under a folder, by its path, which begins with `prefix`.
 * @param {string} folder
 * @param {string} prefix
 * @returns {{ [path: string]: string }}
 */
function sources(folder, prefix) {
  /** @type {{ [path: string]: string }} */
  const found = {};
  for (const entry of fs.readdirSync(folder, { withFileTypes: true })) {
    const name = `${prefix}/${entry.name}`;
    if (entry.isDirectory() && entry.name !== "__pycache__") {
      Object.assign(found, sources(path.join(folder, entry.name), name));
    } else if (entry.isFile() && entry.name.endsWith(".py")) {
      found[name] = fs.readFileSync(path.join(folder, entry.name), "utf8");
    }
  }
  return Object.fromEntries(Object.entries(found).sort(([a], [b]) => (a < b ? -1 : 1)));
}

async function main() {
  const { loadPyodide } = await import(pathToFileURL(path.join(pyodideFolder, "pyodide.mjs")).href);
  const lock = JSON.parse(fs.readFileSync(path.join(pyodideFolder, "pyodide-lock.json"), "utf8"));
  const pyodide = await loadPyodide({
    lockFileContents: { info: lock.info, packages: {} },
    // What is compiled here has the lines of its instructions and not their columns, which nobody sees in the browser.
    env: { PYTHONHASHSEED: "0", PYTHONNODEBUGRANGES: "1" },
  });
  // A plain name list, taken before the script below imports anything.
  const booted = pyodide.runPython(`
import sys
"\\n".join(sorted(sys.modules))`);
  pyodide.FS.mkdir("/tools");
  for (const own of ["compile_library.py", "compile_dataclasses.py"]) {
    pyodide.FS.writeFile(`/tools/${own}`, fs.readFileSync(new URL(own, import.meta.url)));
  }
  pyodide.FS.writeFile("/tools/stdlib.zip", fs.readFileSync(path.join(pyodideFolder, "python_stdlib.zip")));
  const files = sources(path.join(packageParent, packageName), packageName);
  pyodide.FS.writeFile("/tools/package.json", JSON.stringify(files));
  pyodide.FS.writeFile("/tools/borrowed.json", fs.readFileSync(borrowed));
  pyodide.FS.writeFile("/tools/booted.txt", booted);
  const report = JSON.parse(
    pyodide.runPython(`
import sys
sys.path.insert(0, "/tools")
import compile_library
with open("/tools/stdlib.zip", "rb") as zip_file, open("/tools/package.json") as package, \\
        open("/tools/borrowed.json") as borrowed, open("/tools/booted.txt") as booted:
    report = compile_library.text_report(
        zip_file.read(), package.read(), borrowed.read(), booted.read().split("\\n"))
report`),
  );
  if (report.refused) {
    console.error(report.refused);
    process.exit(3);
  }
  for (const key of ["library", "package"]) {
    fs.writeFileSync(path.join(out, `${key}.zip`), Buffer.from(report[key], "base64"));
    delete report[key];
  }
  fs.writeFileSync(path.join(out, "report.json"), JSON.stringify(report, null, 1));
}

// Node prints the whole minified line on an error; the message is enough.
main().catch((error) => {
  console.error(String(error?.message ?? error).slice(-2000));
  process.exit(1);
});
