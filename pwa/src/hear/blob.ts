// Stands in for the package blob-polyfill, which soundswallower asks for and which cannot run in a worker;
// every browser that this app runs on has Blob of its own.
const Blob = globalThis.Blob;
export { Blob };
