import { scaledTo } from "./scaling.ts";

/** The longest side of a photograph that is sent, pixels: a vessel's rim can be judged by it. */
const LONGEST = 1_600;
const QUALITY = 0.85;
const KIND = "image/jpeg";

/**
 * A photograph drawn anew and smaller: where it was taken, and with what, stays behind with its
 * metadata. Null where the browser cannot read the file as a picture.
 */
export async function shrink(file: Blob): Promise<Blob | null> {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" })
    .catch(nullWhereUnreadable);
  if (bitmap === null) return null;
  const canvas = document.createElement("canvas");
  Object.assign(canvas, scaledTo(LONGEST, bitmap.width, bitmap.height));
  const pen = canvas.getContext("2d");
  if (pen === null) return null;
  pen.fillStyle = "white"; // what is transparent would come out black
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  return await new Promise((resolve) => canvas.toBlob(resolve, KIND, QUALITY));
}

/** A file that is no picture is told as such; anything else is a defect and goes on up. */
function nullWhereUnreadable(error: unknown): null {
  if (error instanceof DOMException) return null;
  throw error;
}
