// The worker that runs Python. It knows files, stages and JSON strings, and nothing of what is computed.
//
//   page -> worker   {id, ask: "<json>"}
//   worker -> page   {id, answer: "<json>"}      the answer to that question
//                    {stage, loaded, total}      bytes, uncompressed; stages: fetch, start, package
//                    {ready: true}
//                    {failed: stage, message}    the start has ended; stages as above, and "ready" for a crash later
//
// It lies beside manifest.json, which names every other file with its size and sha256. Questions that arrive before
// it is ready are answered when it is. `?silence=SECONDS` in its address sets how long nothing may move while it
// starts: Pyodide's own start never settles when its wasm is refused or cut off. A worker whose name is "from its files"
// does not go on from a memory that was kept (memory.js).

const SILENCE = Number(new URL(self.location.href).searchParams.get("silence")) || 40;
const here = new URL(".", self.location.href);

/**
 * @import { FetchedFile, FetchedParts, ListedFile, LoadPyodide, Manifest, Pyodide, PythonFunction } from "./types.js"
 * @import { Memory, Started, Zips } from "./memory.js"
 */

/** A failure with a sentence for the reader. */
class StartError extends Error {}

let stage = "fetch";
let loaded = 0;
let total = 0;
let finished = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let silence;
/** @type {Map<string, FetchedFile>} */
let files = new Map();
/** @type {PythonFunction | null} */
let askPython = null;
let quiet = () => {};
/** @type {Promise<Memory | null>} without it Python starts from its files */
const memory = import("./memory.js").then(
  (module) => new module.Memory(here),
  () => null,
);
/** @type {{ id: number, ask: string }[]} */
const waiting = [];

function moved() {
  clearTimeout(silence);
  if (finished) return;
  silence = setTimeout(
    () => fail(new StartError(`nothing has moved for ${SILENCE} seconds${unfinished()}`)),
    SILENCE * 1000,
  );
}

function unfinished() {
  const open = [...files.values()].filter((file) => file.seen < file.bytes).map((file) => file.name);
  return open.length > 0 ? `; not yet here: ${open.join(", ")}` : "";
}

/** @param {string} name */
function say(name) {
  stage = name;
  postMessage({ stage, loaded, total });
  moved();
}

/**
 * @param {FetchedFile} file
 * @param {number} bytes
 */
function count(file, bytes) {
  file.seen += bytes;
  loaded += bytes;
  if (!finished) say(stage);
}

// What is wrong with a file -----------------------------------------------------------------------------------------

/**
 * @param {string} name
 * @param {RequestInit} [options]
 */
async function request(name, options) {
  let response;
  try {
    response = await fetched(new URL(name, here), options);
    // Hosts let "not found" be kept as long as the file itself: only a fresh answer counts.
    if (!response.ok) response = await fetched(new URL(name, here), { cache: "reload" });
  } catch {
    throw new StartError(`the file ${name} could not be fetched: the connection failed`);
  }
  if (response.ok) return response;
  const { status } = response;
  throw new StartError(
    status === 404 || status === 410
      ? `the file ${name} is missing on the server (HTTP status ${status})`
      : `the server did not give the file ${name} (HTTP status ${status})`,
  );
}

/**
 * @param {ListedFile} file
 * @param {Uint8Array<ArrayBuffer>} bytes
 */
async function check(file, bytes) {
  if (bytes.byteLength !== file.bytes) {
    throw new StartError(`the file ${file.name} has ${bytes.byteLength} bytes instead of ${file.bytes}`);
  }
  // The sum can be had on https and on this machine only; elsewhere the size must do.
  if (!self.crypto?.subtle) return;
  const sum = new Uint8Array(await self.crypto.subtle.digest("SHA-256", bytes));
  const text = Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (text !== file.sha256) throw new StartError(`the file ${file.name} is damaged: its content is not what was built`);
}

/**
 * @param {Response} response
 * @param {ListedFile} file
 */
async function whole(response, file) {
  try {
    return new Uint8Array(await response.arrayBuffer());
  } catch {
    throw new StartError(`the file ${file.name} broke off while it was fetched`);
  }
}

/**
 * The second time past every cache, so that a damaged copy in one does not stay for ever.
 * @param {ListedFile} file
 */
async function freshCopy(file) {
  const bytes = await whole(await request(file.name, { cache: "reload" }), file);
  await check(file, bytes);
  return bytes;
}

/**
 * Say what is wrong with a file that the browser could not use; it may have healed meanwhile.
 * @param {ListedFile} file
 * @param {unknown} error
 * @returns {Promise<unknown>}
 */
async function explained(file, error) {
  try {
    await freshCopy(file);
  } catch (trouble) {
    return trouble;
  }
  if (error instanceof StartError) return new StartError(`${error.message}; a fresh copy is here now`);
  return new StartError(`the browser refused the file ${file.name}: ${messageOf(error)}; a fresh copy is here now`);
}

// The files ---------------------------------------------------------------------------------------------------------

/**
 * Read an answer to its end, counting what comes.
 * @param {Response} response
 * @param {FetchedFile} file
 */
async function drained({ body }, file) {
  const bytes = new Uint8Array(file.bytes);
  const reader = body?.getReader();
  if (!reader) throw new StartError(`the file ${file.name} came without content`);
  let at = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    if (at + value.length <= bytes.length) bytes.set(value, at);
    at += value.length;
    count(file, value.length);
  }
  if (at !== file.bytes) throw new StartError(`the file ${file.name} has ${at} bytes instead of ${file.bytes}`);
  return bytes;
}

/**
 * The zip that is packed in a file.
 * @param {Uint8Array<ArrayBuffer>} bytes
 */
async function unpacked(bytes) {
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** @param {FetchedFile} file */
async function checkedBytes(file) {
  try {
    const bytes = await drained(await request(file.name), file);
    await check(file, bytes);
    return bytes;
  } catch {
    return freshCopy(file);
  }
}

/**
 * Fetch the wasm twice in one: the stream is compiled as it comes, and a copy is counted and checked.
 * @param {FetchedFile} file
 */
function streamed(file) {
  const response = request(file.name);
  const copy = response.then((original) => original.clone());
  const checked = copy.then(async (one) => check(file, await drained(one, file)));
  const compiled = WebAssembly.compileStreaming(response);
  for (const one of [checked, compiled]) one.catch(() => {});
  return { response, checked, compiled };
}

/**
 * @param {FetchedFile} file
 * @returns {Promise<Record<string, unknown>>}
 */
async function script(file) {
  try {
    const module = await import(new URL(file.name, here).href);
    count(file, file.bytes);
    return module;
  } catch (error) {
    throw await explained(file, error);
  }
}

/**
 * An import shows no bytes: look at the copy it left in the browser's cache.
 * @param {ListedFile} file
 */
async function checkScript(file) {
  try {
    await check(file, await whole(await request(file.name, { cache: "force-cache" }), file));
  } catch (error) {
    throw await explained(file, error);
  }
}

const fetched = self.fetch.bind(self);

/**
 * Pyodide takes the wasm that is being compiled. It only writes to the console when that is refused, and then waits for
 * ever: hear of it first.
 * @param {Promise<WebAssembly.Module>} compiled
 * @returns {Promise<never>}
 */
function hearRefusal(compiled) {
  return new Promise((_, reject) => {
    WebAssembly.instantiateStreaming = (_source, imports) => {
      const made = compiled.then(async (module) => ({ module, instance: await WebAssembly.instantiate(module, imports) }));
      made.catch(reject);
      return made;
    };
  });
}

/** @returns {Promise<never>} */
const never = () => new Promise(() => {});

// The start ---------------------------------------------------------------------------------------------------------

async function start(mayGoOn = true) {
  say("fetch");
  const manifest = await readManifest();
  files = new Map(manifest.files.map((file) => [file.role, { ...file, seen: 0 }]));
  loaded = 0;
  total = manifest.files.reduce((sum, file) => sum + file.bytes, 0);
  const keeps = manifest.memory ? await memory : null;
  count(listed("memory"), listed("memory").bytes);
  const kept = mayGoOn && keeps ? keeps.of(manifest.files, self.name === "from its files") : Promise.resolve(null);
  try {
    askPython = await begun(manifest, kept, keeps);
  } catch (error) {
    if (finished || !(await kept)) throw error;
    keeps?.forget();
    await start(false);
  }
  quiet = () => keeps?.quiet();
}

/**
 * Python's one function, once it has started from the files or gone on from a memory.
 * @param {Manifest} manifest
 * @param {Promise<Started | null>} kept
 * @param {Memory | null} keeps
 */
async function begun(manifest, kept, keeps) {
  const wasm = listed("wasm");
  const parts = await fetchAll(wasm, kept);
  const started = await kept;
  say(wasm.seen < wasm.bytes ? "fetch" : "start");
  const options = started ? { _loadSnapshot: started.snapshot } : { _makeSnapshot: keeps !== null };
  const pyodide = await startPython(parts, { lockFileContents: manifest.lock, ...options });
  say("package");
  const ask = importedFunction(pyodide, manifest);
  keeps?.begun(started, pyodide, parts.zips, ask);
  return ask;
}

/**
 * The file of a role.
 * @param {string} role
 */
function listed(role) {
  const file = files.get(role);
  if (!file) throw new StartError(`the file manifest.json is damaged: it lists no ${role}`);
  return file;
}

/**
 * The zips that a memory was kept with, or else those of the build.
 * @param {Started | null} started
 * @returns {Promise<Zips>}
 */
async function fetchZips(started) {
  const both = ["library", "package"].map(listed);
  for (const file of started ? both : []) count(file, file.bytes);
  if (started) return started;
  const [library, package_] = await Promise.all(both.map((file) => checkedBytes(file).then(unpacked)));
  return { library, package: package_ };
}

/**
 * Everything at once; the wasm may still be on its way when this is done.
 * @param {FetchedFile} wasm
 * @param {Promise<Started | null>} kept
 * @returns {Promise<FetchedParts>}
 */
async function fetchAll(wasm, kept) {
  const stream = streamed(wasm);
  const [loader, engine] = ["loader", "engine"].map(listed);
  const [{ loadPyodide }, { default: createPyodideModule }, zips] = await Promise.all([
    script(loader),
    script(engine),
    kept.then(fetchZips),
  ]);
  const scriptsChecked = Promise.all([checkScript(loader), checkScript(engine)]);
  scriptsChecked.catch(() => {});
  const stdLibURL = new URL(listed("library").name, here).href;
  // Pyodide asks for its wasm and its library with `fetch`: they are under way already, or here.
  self.fetch = async (resource, options) => {
    const url = new URL(resource instanceof Request ? resource.url : resource, here).href;
    if (url === stdLibURL) return new Response(zips.library);
    return url === new URL(wasm.name, here).href ? stream.response : fetched(resource, options);
  };
  const place = "/lib/package.zip";
  const options = {
    indexURL: here.href,
    packageBaseUrl: here.href,
    stdLibURL,
    // Pyodide 314 takes the engine as an argument; 0.29 finds it as a global.
    createPyodideModule,
    // The language is the reader's own matter: as it may not be kept, nobody sees it.
    env: { PYTHONPATH: place, LANG: "C.UTF-8" },
    /** @param {{ writeFile(path: string, bytes: Uint8Array): void }} fs */
    fsInit: (fs) => fs.writeFile(place, zips.package),
  };
  const load = /** @type {LoadPyodide} */ (loadPyodide);
  const { checked: wasmChecked, compiled } = stream;
  return { wasm, wasmChecked, compiled, scriptsChecked, loadPyodide: load, options, zips };
}

/**
 * Pyodide's own start, and beside it all that can go wrong of which it says nothing.
 * @param {FetchedParts} parts
 * @param {object} more options
 */
async function startPython({ wasm, wasmChecked, compiled, scriptsChecked, loadPyodide, options }, more) {
  const becauseOfWasm = async (/** @type {unknown} */ error) => Promise.reject(await explained(wasm, error));
  const refused = hearRefusal(compiled);
  const wasmIsHere = wasmChecked.then(() => stage === "fetch" && say("start"));
  const pyodide = await Promise.race([
    // A damaged script may show as any odd error of the start: its own sum is the better explanation.
    loadPyodide({ ...options, ...more }).catch((error) => scriptsChecked.then(() => Promise.reject(error))),
    refused.catch(becauseOfWasm),
    wasmIsHere.then(never).catch(becauseOfWasm),
    scriptsChecked.then(never),
  ]);
  await Promise.all([wasmChecked, scriptsChecked]);
  return pyodide;
}

/** @returns {Promise<Manifest>} */
async function readManifest() {
  const response = await request("manifest.json");
  try {
    return await response.json();
  } catch {
    throw new StartError("the file manifest.json is damaged: it cannot be read");
  }
}

/**
 * The one Python function; it takes a string and returns one, so no proxy but its own is ever made.
 * @param {Pyodide} pyodide
 * @param {Manifest} manifest
 */
function importedFunction(pyodide, { module, function: name }) {
  let found;
  try {
    found = pyodide.pyimport(module);
  } catch (error) {
    throw new StartError(`Python could not import ${module}: ${lastLine(error)}`);
  }
  // A copy, for what is taken from a proxy is destroyed with it.
  const one = found[name]?.copy();
  found.destroy();
  if (!one) throw new StartError(`the Python module ${module} has no function ${name}`);
  return one;
}

/** @param {unknown} error */
function messageOf(error) {
  return error instanceof Error ? error.message : String(error);
}

/** @param {unknown} error */
function lastLine(error) {
  return messageOf(error).trim().split("\n").pop();
}

/** @param {unknown} error */
function fail(error) {
  if (finished) return;
  finished = true;
  clearTimeout(silence);
  postMessage({ failed: stage, message: error instanceof StartError ? error.message : lastLine(error) });
}

function answerAll() {
  if (!askPython) return;
  for (const { id, ask } of waiting.splice(0)) {
    try {
      postMessage({ id, answer: askPython(ask) });
    } catch (error) {
      // An exception of Python's leaves the interpreter usable; anything else may not.
      if (error instanceof Error && error.name === "PythonError") postMessage({ id, answer: JSON.stringify({ broken: lastLine(error) }) });
      else postMessage({ failed: "ready", message: lastLine(error) });
    }
  }
  quiet();
}

self.onmessage = ({ data }) => {
  waiting.push(data);
  if (finished) answerAll();
};

start().then(() => {
  if (finished) return;
  finished = true;
  clearTimeout(silence);
  postMessage({ ready: true });
  answerAll();
}, fail);
