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

/** A failure with a sentence for the reader. */
class Trouble extends Error {}

let stage = "fetch";
let loaded = 0;
let total = 0;
let finished = false;
let silence = 0;
let files = new Map();
let ask = null;
const early = [];

function moved() {
  clearTimeout(silence);
  if (finished) return;
  silence = setTimeout(
    () => fail(new Trouble(`nothing has moved for ${SILENCE} seconds${unfinished()}`)),
    SILENCE * 1000,
  );
}

function unfinished() {
  const open = [...files.values()].filter((file) => file.seen < file.bytes).map((file) => file.name);
  return open.length > 0 ? `; not yet here: ${open.join(", ")}` : "";
}

function say(name) {
  stage = name;
  postMessage({ stage, loaded, total });
  moved();
}

function count(file, bytes) {
  file.seen += bytes;
  loaded += bytes;
  if (!finished) say(stage);
}

// What is wrong with a file -----------------------------------------------------------------------------------------

async function request(name, options) {
  let response;
  try {
    response = await fetched(new URL(name, here), options);
    // Hosts let "not found" be kept as long as the file itself: only a fresh answer counts.
    if (!response.ok) response = await fetched(new URL(name, here), { cache: "reload" });
  } catch {
    throw new Trouble(`the file ${name} could not be fetched: the connection failed`);
  }
  if (response.ok) return response;
  const { status } = response;
  throw new Trouble(
    status === 404 || status === 410
      ? `the file ${name} is missing on the server (HTTP status ${status})`
      : `the server did not give the file ${name} (HTTP status ${status})`,
  );
}

async function check(file, bytes) {
  if (bytes.byteLength !== file.bytes) {
    throw new Trouble(`the file ${file.name} has ${bytes.byteLength} bytes instead of ${file.bytes}`);
  }
  // The sum can be had on https and on this machine only; elsewhere the size must do.
  if (!self.crypto?.subtle) return;
  const sum = new Uint8Array(await self.crypto.subtle.digest("SHA-256", bytes));
  const text = Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (text !== file.sha256) throw new Trouble(`the file ${file.name} is damaged: its content is not what was built`);
}

async function whole(response, file) {
  try {
    return new Uint8Array(await response.arrayBuffer());
  } catch {
    throw new Trouble(`the file ${file.name} broke off while it was fetched`);
  }
}

// The second time past every cache, so that a damaged copy in one does not stay for ever.
async function freshCopy(file) {
  const bytes = await whole(await request(file.name, { cache: "reload" }), file);
  await check(file, bytes);
  return bytes;
}

/** Say what is wrong with a file that the browser could not use; it may have healed meanwhile. */
async function explained(file, error) {
  try {
    await freshCopy(file);
  } catch (trouble) {
    return trouble;
  }
  if (error instanceof Trouble) return new Trouble(`${error.message}; a fresh copy is here now`);
  return new Trouble(`the browser refused the file ${file.name}: ${error.message}; a fresh copy is here now`);
}

// The files ---------------------------------------------------------------------------------------------------------

/** Read a stream to its end, counting what comes. */
async function drained(body, file) {
  const bytes = new Uint8Array(file.bytes);
  const reader = body.getReader();
  let at = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    if (at + value.length <= bytes.length) bytes.set(value, at);
    at += value.length;
    count(file, value.length);
  }
  if (at !== file.bytes) throw new Trouble(`the file ${file.name} has ${at} bytes instead of ${file.bytes}`);
  return bytes;
}

async function checkedBytes(file) {
  try {
    const response = await request(file.name);
    const bytes = await drained(response.body, file);
    await check(file, bytes);
    return bytes;
  } catch {
    return freshCopy(file);
  }
}

/** Fetch the wasm twice in one: Pyodide compiles the stream as it comes, and a copy is counted and checked. */
function streamed(file) {
  const response = request(file.name);
  const copy = response.then((answer) => answer.clone());
  const checked = copy.then(async (answer) => check(file, await drained(answer.body, file)));
  checked.catch(() => {});
  return { response, checked };
}

async function script(file) {
  try {
    const module = await import(new URL(file.name, here).href);
    count(file, file.bytes);
    return module;
  } catch (error) {
    throw await explained(file, error);
  }
}

/** An import shows no bytes: look at the copy it left in the browser's cache. */
async function checkScript(file) {
  try {
    await check(file, await whole(await request(file.name, { cache: "force-cache" }), file));
  } catch (error) {
    throw await explained(file, error);
  }
}

// Pyodide asks for its wasm and its library with `fetch`: they are under way already, or here.
const fetched = self.fetch.bind(self);

function answerFetches(answers) {
  self.fetch = (resource, options) => {
    const url = new URL(resource instanceof Request ? resource.url : resource, here).href;
    return answers.get(url)?.() ?? fetched(resource, options);
  };
}

/** Pyodide only writes to the console when its wasm is refused, and then waits for ever: hear of it first. */
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

const never = () => new Promise(() => {});

// The start ---------------------------------------------------------------------------------------------------------

async function start() {
  say("fetch");
  const manifest = await readManifest();
  files = new Map(manifest.files.map((file) => [file.role, { ...file, seen: 0 }]));
  total = manifest.files.reduce((sum, file) => sum + file.bytes, 0);
  say("fetch");
  const wasm = files.get("wasm");
  const fetchedParts = await fetchAll(wasm);
  say(wasm.seen < wasm.bytes ? "fetch" : "start");
  const pyodide = await startPython(fetchedParts, manifest.lock);
  say("package");
  ask = importedFunction(pyodide, manifest);
}

/** Everything at once; the wasm may still be on its way when this is done. */
async function fetchAll(wasm) {
  const stream = streamed(wasm);
  const [loader, engine, library, package_] = ["loader", "engine", "library", "package"].map((role) => files.get(role));
  const [{ loadPyodide }, { default: createPyodideModule }, libraryBytes, packageBytes] = await Promise.all([
    script(loader),
    script(engine),
    checkedBytes(library),
    checkedBytes(package_),
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
  const place = `/lib/${package_.name}`;
  const options = {
    indexURL: here.href,
    packageBaseUrl: here.href,
    stdLibURL,
    // Pyodide 314 takes the engine as an argument; 0.29 finds it as a global.
    createPyodideModule,
    env: { PYTHONPATH: place },
    fsInit: (fs) => fs.writeFile(place, packageBytes),
  };
  return { wasm, wasmChecked: stream.checked, scriptsChecked, loadPyodide, options };
}

/** Pyodide's own start, and beside it all that can go wrong of which it says nothing. */
async function startPython({ wasm, wasmChecked, scriptsChecked, loadPyodide, options }, lock) {
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

async function readManifest() {
  const response = await request("manifest.json");
  try {
    return await response.json();
  } catch {
    throw new Trouble("the file manifest.json is damaged: it cannot be read");
  }
}

/** The one Python function; it takes a string and returns one, so no proxy but its own is ever made. */
function importedFunction(pyodide, { module, function: name }) {
  let found;
  try {
    found = pyodide.pyimport(module);
  } catch (error) {
    throw new Trouble(`Python could not import ${module}: ${lastLine(error)}`);
  }
  // A copy, for what is taken from a proxy is destroyed with it.
  const one = found[name]?.copy();
  found.destroy();
  if (!one) throw new Trouble(`the Python module ${module} has no function ${name}`);
  return one;
}

function lastLine(error) {
  return String(error?.message ?? error).trim().split("\n").pop();
}

function fail(error) {
  if (finished) return;
  finished = true;
  clearTimeout(silence);
  postMessage({ failed: stage, message: error instanceof Trouble ? error.message : lastLine(error) });
}

function answer({ id, ask: text }) {
  try {
    postMessage({ id, answer: ask(text) });
  } catch (error) {
    // An exception of Python's leaves the interpreter usable; anything else may not.
    if (error?.name === "PythonError") postMessage({ id, answer: JSON.stringify({ broken: lastLine(error) }) });
    else postMessage({ failed: "ready", message: lastLine(error) });
  }
}

self.onmessage = ({ data }) => {
  if (ask) answer(data);
  else early.push(data);
};

start().then(() => {
  if (finished) return;
  finished = true;
  clearTimeout(silence);
  postMessage({ ready: true });
  early.splice(0).forEach(answer);
}, fail);
