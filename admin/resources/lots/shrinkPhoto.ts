import { MAX_PHOTO_BYTES, PHOTO_PART } from '#contract/lots'

/** Long side in points: a label can be read, and a photo is about 150 kB; the smaller ones only when a picture will not shrink. */
const SIDES = [1280, 1024, 800] as const
const QUALITIES = [0.8, 0.6, 0.45] as const

const drawn = (picture: ImageBitmap, longSide: number): HTMLCanvasElement => {
  const scale = Math.min(1, longSide / Math.max(picture.width, picture.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(1, Math.round(picture.width * scale))
  canvas.height = Math.max(1, Math.round(picture.height * scale))
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height)
  return canvas
}

const jpegOf = (canvas: HTMLCanvasElement, quality: number): Promise<Blob | null> =>
  new Promise((done) => canvas.toBlob(done, 'image/jpeg', quality))

/** Base64 in the parts in which it travels. */
export const partsOf = (base64: string): string[] =>
  Array.from({ length: Math.ceil(base64.length / PHOTO_PART) }, (_, i) => base64.slice(i * PHOTO_PART, (i + 1) * PHOTO_PART))

const base64Of = async (blob: Blob): Promise<string> => {
  let text = ''
  for (const byte of new Uint8Array(await blob.arrayBuffer())) text += String.fromCharCode(byte)
  return btoa(text)
}

/**
 * A picture of a phone as a small JPEG, in parts to send; drawn afresh, so that where it was taken does not travel with it. Null when the
 * browser cannot read it or it will not become small enough.
 */
export const shrinkPhoto = async (file: Blob): Promise<string[] | null> => {
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(() => null)
  if (picture === null) return null
  for (const side of SIDES) {
    const canvas = drawn(picture, side)
    for (const quality of QUALITIES) {
      const jpeg = await jpegOf(canvas, quality)
      if (jpeg !== null && jpeg.type === 'image/jpeg' && jpeg.size <= MAX_PHOTO_BYTES) return partsOf(await base64Of(jpeg))
    }
  }
  return null
}
