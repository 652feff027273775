// Starts the built runtime under Node with the same options as the worker, and does one job for a test.
//
//   node node_pyodide.mjs RUNTIME_FOLDER < {"code": "Python whose value is a string", "requests": ["<json>", ...]}
//
// Prints {"value": "...", "answers": [...]}, of what was asked, as the last line; what Python prints goes to standard error.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import zlib from "node:zlib";
import { pathToFileURL } from "node:url";

async function main() {
  const folder = path.resolve(process.argv[2]);
  const job = JSON.parse(fs.readFileSync(0, "utf8"));
  const manifest = JSON.parse(fs.readFileSync(path.join(folder, "manifest.json"), "utf8"));
  /** @type {{ [role: string]: string }} */
  const file = {};
  for (const { role, name } of manifest.files) file[role] = path.join(folder, name);
  const { loadPyodide } = await import(pathToFileURL(file.loader).href);
  const inside = "/lib/package.zip";
  const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "library-"));
  const library = path.join(scratch, "library.zip");
  fs.writeFileSync(library, zlib.gunzipSync(fs.readFileSync(file.library)));
  const pyodide = await loadPyodide({
    indexURL: folder,
    packageBaseUrl: folder,
    stdLibURL: library,
    lockFileContents: manifest.lock,
    env: { PYTHONPATH: inside },
    /** @param {{ writeFile(path: string, bytes: Uint8Array): void }} fs_ */
    fsInit: (fs_) => fs_.writeFile(inside, zlib.gunzipSync(fs.readFileSync(file.package))),
    /** @param {string} line */
    stdout: (line) => console.error(line),
  });
  fs.rmSync(scratch, { recursive: true });
  const value = job.code && pyodide.runPython(job.code);
  if (!job.requests) return { value };
  const ask = pyodide.pyimport(manifest.module)[manifest.function].copy();
  /** @type {string[]} */
  const requests = job.requests;
  return { value, answers: requests.map((request) => ask(request)) };
}

main().then(
  (result) => fs.writeSync(1, `${JSON.stringify(result)}\n`),
  (error) => {
    console.error(String(error?.message ?? error).slice(-3000));
    process.exitCode = 1;
  },
);
