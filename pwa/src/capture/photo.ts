// A small picture of a photo for the screen. The photo's own bytes are kept elsewhere and never touched.
const SIDE = 320;

/** A JPEG at most 320 pixels wide or high, upright; undefined if this browser cannot read the photo. */
export async function smallOf(file: Blob): Promise<ArrayBuffer | undefined> {
  try {
    const whole = await createImageBitmap(file, { imageOrientation: "from-image", resizeWidth: SIDE });
    const scale = Math.min(1, SIDE / Math.max(whole.width, whole.height));
    const canvas = new OffscreenCanvas(Math.round(whole.width * scale), Math.round(whole.height * scale));
    canvas.getContext("2d")?.drawImage(whole, 0, 0, canvas.width, canvas.height);
    whole.close();
    return await (await canvas.convertToBlob({ type: "image/jpeg", quality: 0.8 })).arrayBuffer();
  } catch {
    return undefined;
  }
}
