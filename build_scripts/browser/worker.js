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
// starts: Pyodide's own start never settles when its wasm is refused or cut off.

const SILENCE = Number(new URL(self.location.href).searchParams.get("silence")) || 40;
const here = new URL(".", self.location.href);

/**
 * A file as manifest.json lists it, and how many of its bytes have come.
 * @typedef {{ role: string, name: string, bytes: number, sha256: string }} ListedFile
 * @typedef {ListedFile & { seen: number }} FetchedFile
 */

/**
 * manifest.json: its files, the module and the function that answer, and the lock that Pyodide starts with.
 * @typedef {{ files: ListedFile[], module: string, function: string, lock: object }} Manifest
 */

/**
 * As much of Pyodide as is used here.
 * @typedef {(text: string) => string} PythonFunction
 * @typedef {{ [name: string]: { copy(): PythonFunction } | undefined } & { destroy(): void }} PythonModule
 * @typedef {{ pyimport(name: string): PythonModule }} Pyodide
 * @typedef {(options: object) => Promise<Pyodide>} LoadPyodide
 */

/**
 * What a start goes on with once the files are fetched, its wasm perhaps still on the way.
 * @typedef {object} FetchedParts
 * @property {FetchedFile} wasm
 * @property {Promise<void>} wasmChecked
 * @property {Promise<unknown>} scriptsChecked
 * @property {LoadPyodide} loadPyodide
 * @property {object} options
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
/** @type {{ id: number, ask: string }[]} */
const early = [];

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
 * Fetch the wasm twice in one: Pyodide compiles the stream as it comes, and a copy is counted and checked.
 * @param {FetchedFile} file
 */
function streamed(file) {
  const response = request(file.name);
  const copy = response.then((original) => original.clone());
  const checked = copy.then(async (one) => check(file, await drained(one, file)));
  checked.catch(() => {});
  return { response, checked };
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

// Pyodide asks for its wasm and its library with `fetch`: they are under way already, or here.
const fetched = self.fetch.bind(self);

/** @param {Map<string, () => Promise<Response>>} answers */
function answerFetches(answers) {
  self.fetch = (resource, options) => {
    const url = new URL(resource instanceof Request ? resource.url : resource, here).href;
    return answers.get(url)?.() ?? fetched(resource, options);
  };
}

/**
 * Pyodide only writes to the console when its wasm is refused, and then waits for ever: hear of it first.
 * @returns {Promise<never>}
 */
function hearRefusal() {
  const compile = WebAssembly.instantiateStreaming;
  return new Promise((_, reject) => {
    WebAssembly.instantiateStreaming = async (source, imports) => {
      try {
        return await compile(source, imports);
      } catch (error) {
        reject(error);
        throw error;
      }
    };
  });
}

/** @returns {Promise<never>} */
const never = () => new Promise(() => {});

// The start ---------------------------------------------------------------------------------------------------------

async function start() {
  say("fetch");
  const manifest = await readManifest();
  files = new Map(manifest.files.map((file) => [file.role, { ...file, seen: 0 }]));
  total = manifest.files.reduce((sum, file) => sum + file.bytes, 0);
  say("fetch");
  const wasm = listed("wasm");
  const fetchedParts = await fetchAll(wasm);
  say(wasm.seen < wasm.bytes ? "fetch" : "start");
  const pyodide = await startPython(fetchedParts, manifest.lock);
  say("package");
  askPython = importedFunction(pyodide, manifest);
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
 * Everything at once; the wasm may still be on its way when this is done.
 * @param {FetchedFile} wasm
 * @returns {Promise<FetchedParts>}
 */
async function fetchAll(wasm) {
  const stream = streamed(wasm);
  const [loader, engine, library, package_] = ["loader", "engine", "library", "package"].map(listed);
  const [{ loadPyodide }, { default: createPyodideModule }, libraryBytes, packageBytes] = await Promise.all([
    script(loader),
    script(engine),
    checkedBytes(library).then(unpacked),
    checkedBytes(package_).then(unpacked),
  ]);
  const scriptsChecked = Promise.all([checkScript(loader), checkScript(engine)]);
  scriptsChecked.catch(() => {});
  const stdLibURL = new URL(library.name, here).href;
  answerFetches(
    new Map([
      [new URL(wasm.name, here).href, () => stream.response],
      [stdLibURL, async () => new Response(libraryBytes)],
    ]),
  );
  const place = "/lib/package.zip";
  const options = {
    indexURL: here.href,
    packageBaseUrl: here.href,
    stdLibURL,
    // Pyodide 314 takes the engine as an argument; 0.29 finds it as a global.
    createPyodideModule,
    env: { PYTHONPATH: place },
    /** @param {{ writeFile(path: string, bytes: Uint8Array): void }} fs */
    fsInit: (fs) => fs.writeFile(place, packageBytes),
  };
  const load = /** @type {LoadPyodide} */ (loadPyodide);
  return { wasm, wasmChecked: stream.checked, scriptsChecked, loadPyodide: load, options };
}

/**
 * Pyodide's own start, and beside it all that can go wrong of which it says nothing.
 * @param {FetchedParts} parts
 * @param {object} lock
 */
async function startPython({ wasm, wasmChecked, scriptsChecked, loadPyodide, options }, lock) {
  /**
   * @param {unknown} error
   * @returns {Promise<never>}
   */
  const becauseOfWasm = (error) => explained(wasm, error).then((trouble) => Promise.reject(trouble));
  const refused = hearRefusal();
  const wasmIsHere = wasmChecked.then(() => stage === "fetch" && say("start"));
  const pyodide = await Promise.race([
    // A damaged script may show as any odd error of the start: its own sum is the better explanation.
    loadPyodide({ ...options, lockFileContents: lock }).catch((error) => scriptsChecked.then(() => Promise.reject(error))),
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

/**
 * @param {PythonFunction} ask
 * @param {{ id: number, ask: string }} question
 */
function answer(ask, { id, ask: text }) {
  try {
    postMessage({ id, answer: ask(text) });
  } catch (error) {
    // An exception of Python's leaves the interpreter usable; anything else may not.
    if (error instanceof Error && error.name === "PythonError") postMessage({ id, answer: JSON.stringify({ broken: lastLine(error) }) });
    else postMessage({ failed: "ready", message: lastLine(error) });
  }
}

self.onmessage = ({ data }) => {
  if (askPython) answer(askPython, data);
  else early.push(data);
};

start().then(() => {
  if (finished || !askPython) return;
  finished = true;
  clearTimeout(silence);
  postMessage({ ready: true });
  for (const question of early.splice(0)) answer(askPython, question);
}, fail);
