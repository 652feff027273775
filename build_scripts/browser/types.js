// The types of what the worker works with; for those who read it, and for the compiler: it is not served.

/** @import { Zips } from "./memory.js" */

/**
 * A file as manifest.json lists it, and how many of its bytes have come.
 * @typedef {{ role: string, name: string, bytes: number, sha256: string }} ListedFile
 * @typedef {ListedFile & { seen: number }} FetchedFile
 */

/**
 * manifest.json: its files, the module and the function that answer, the lock that Pyodide starts with, and whether its
 * memory can be kept.
 * @typedef {{ files: ListedFile[], module: string, function: string, lock: object, memory: boolean }} Manifest
 */

/**
 * As much of Pyodide as is used here.
 * @typedef {(text: string) => string} PythonFunction
 * @typedef {{ [name: string]: { copy(): PythonFunction } | undefined } & { destroy(): void }} PythonModule
 * @typedef {{ pyimport(name: string): PythonModule, makeMemorySnapshot?: () => Uint8Array<ArrayBuffer> }} Pyodide
 * @typedef {(options: object) => Promise<Pyodide>} LoadPyodide
 */

/**
 * What a start goes on with once the files are fetched, its wasm perhaps still on the way.
 * @typedef {object} FetchedParts
 * @property {FetchedFile} wasm
 * @property {Promise<void>} wasmChecked
 * @property {Promise<WebAssembly.Module>} compiled
 * @property {Promise<unknown>} scriptsChecked
 * @property {LoadPyodide} loadPyodide
 * @property {object} options
 * @property {Zips} zips
 */
