// Uploads one file with tus-js-client, as told by the JSON in the first argument; prints one JSON line of what came.
//
//   endpoint, token, file, sha256, chunkSize    what to send, and where
//   checksum    "sha1": each chunk carries Upload-Checksum
//   urls        a file that remembers unfinished uploads, so that another run goes on with them
//   stopAfter   leave without a word once so many bytes were acknowledged, as a killed app does
//   terminateAfter   end the upload for good then
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import * as tus from "tus-js-client";

const told = JSON.parse(process.argv[2]);
const content = readFileSync(told.file);
const requests = [];

function finish(outcome) {
  process.stdout.write(`${JSON.stringify({ ...outcome, requests })}\n`, () => process.exit(0));
}

const upload = new tus.Upload(content, {
  endpoint: told.endpoint,
  chunkSize: told.chunkSize,
  headers: { Authorization: `Bearer ${told.token}` },
  metadata: { sha256: told.sha256, role: "sound" },
  retryDelays: told.retryDelays ?? [0, 20, 50, 100, 200, 500, 1000, 1000, 1000, 1000],
  urlStorage: told.urls ? new tus.FileUrlStorage(told.urls) : undefined,
  storeFingerprintForResuming: Boolean(told.urls),
  removeFingerprintOnSuccess: true,
  fingerprint: async () => `plytally-${told.sha256}`,
  onBeforeRequest(request) {
    if (told.checksum && request.getMethod() === "PATCH") {
      const offset = Number(request.getHeader("Upload-Offset"));
      const chunk = content.subarray(offset, offset + told.chunkSize);
      request.setHeader("Upload-Checksum", `${told.checksum} ${createHash(told.checksum).update(chunk).digest("base64")}`);
    }
  },
  onAfterResponse(request, response) {
    requests.push([request.getMethod(), response.getStatus()]);
  },
  onShouldRetry(error) {
    const status = error.originalResponse ? error.originalResponse.getStatus() : 0;
    return status === 0 || status >= 500 || [409, 423, 429, 460].includes(status) === true && status !== 507;
  },
  onChunkComplete(size, accepted) {
    if (told.stopAfter && accepted >= told.stopAfter) finish({ stopped: accepted });
    if (told.terminateAfter && accepted >= told.terminateAfter) {
      upload.abort(true).then(() => finish({ terminated: accepted }), (error) => finish({ error: String(error) }));
    }
  },
  onError(error) {
    const answer = error.originalResponse;
    finish({ error: error.message, status: answer ? answer.getStatus() : 0, body: answer ? answer.getBody() : "" });
  },
  onSuccess() {
    finish({ success: true, url: upload.url });
  },
});

const before = told.urls ? await upload.findPreviousUploads() : [];
if (before.length > 0) upload.resumeFromPreviousUpload(before[0]);
upload.start();
