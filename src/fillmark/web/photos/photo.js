// A photo, made small on the phone and written anew: what the camera put beside its pixels stays behind.
import { Fault } from "../phone/amounts.js";

const QUALITY = 0.82;

/**
 * A JPEG of at most the household's size, upright.
 * @type {(file: Blob, limits: { photoSidePx: number }) => Promise<Blob>}
 */
export async function makePhoto(file, { photoSidePx }) {
  const picture = await createImageBitmap(file, /** @type {any} */ ({ imageOrientation: "from-image" })).catch(() => null);
  if (!picture) {
    throw new Fault("A file that is not a photo, or not a whole one", "a photo as JPEG, PNG or WebP",
      "Choose a photo from the camera; if the phone saves HEIC, send it as JPEG.");
  }
  const share = Math.min(1, photoSidePx / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * share));
  canvas.height = Math.max(1, Math.round(picture.height * share));
  const paper = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  paper.fillStyle = "white";
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return new Promise((resolve, reject) => canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("no picture"))), "image/jpeg", QUALITY));
}
