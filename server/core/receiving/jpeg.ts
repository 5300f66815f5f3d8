/** Long side of a picture that a browser will draw; a phone's photo has 4,000 points and ours are drawn at 1,280. */
export const MOST_POINTS = 8000

const SOI = 0xd8
const EOI = 0xd9
const SOS = 0xda
/** Application data: 0 is the plain header of JFIF and 14 says how colours were turned; the rest tells of camera, place and thumbnail. */
const KEPT_APP = [0xe0, 0xee]
/** In application data 2, beside thumbnails: which colours are meant. */
const COLOURS = 'ICC_PROFILE'
const COMMENT = 0xfe
/** Start of frame, of the kinds that browsers draw: baseline, extended and progressive. */
const FRAMES = [0xc0, 0xc1, 0xc2]

type Segment = { readonly marker: number; readonly from: number; readonly to: number }

const isTold = (bytes: Uint8Array, { marker, from }: Segment): boolean => {
  if (marker === 0xe2 && String.fromCharCode(...bytes.subarray(from + 4, from + 4 + COLOURS.length)) === COLOURS) return false
  return marker === COMMENT || (marker >= 0xe0 && marker <= 0xef && !KEPT_APP.includes(marker))
}

/** The segments up to the first scan, each with its length; null where the bytes are no such row of segments (ISO/IEC 10918-1, annex B). */
const headSegments = (bytes: Uint8Array): readonly Segment[] | null => {
  const segments: Segment[] = []
  for (let at = 2; at + 4 <= bytes.length;) {
    const [start, marker = 0] = [bytes[at], bytes[at + 1]]
    const to = at + 2 + 256 * (bytes[at + 2] ?? 0) + (bytes[at + 3] ?? 0)
    if (start !== 0xff || marker < 0xc0 || to < at + 4 || to > bytes.length - 2) return null
    segments.push({ marker, from: at, to })
    if (marker === SOS) return segments
    at = to
  }
  return null
}

const isDrawable = (bytes: Uint8Array, { from, to }: Segment): boolean => {
  const word = (at: number): number => 256 * (bytes[at] ?? 0) + (bytes[at + 1] ?? 0)
  const [height, width] = [word(from + 5), word(from + 7)]
  return to - from >= 11 && height > 0 && width > 0 && Math.max(height, width) <= MOST_POINTS
}

/** Where the first end of image stands behind the scans: there FF is followed by 00, a restart or a table, so FF D9 is nothing else. */
const endOf = (bytes: Uint8Array, from: number): number => {
  for (let at = from; at + 1 < bytes.length; at += 1) if (bytes[at] === 0xff && bytes[at + 1] === EOI) return at + 2
  return -1
}

const joined = (parts: readonly Uint8Array[]): Uint8Array => {
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}

/**
 * A JPEG without what it tells beside the picture: camera, place, thumbnail, comments. Null when it is none, has no size or more points
 * than a phone can draw, was cut off, or has something hanging behind its end. The scans themselves are not decoded.
 */
export const plainJpeg = (bytes: Uint8Array): Uint8Array | null => {
  if (bytes[0] !== 0xff || bytes[1] !== SOI) return null
  const segments = headSegments(bytes)
  const frames = segments?.filter(({ marker }) => FRAMES.includes(marker)) ?? []
  const [frame] = frames
  if (segments === null || frame === undefined || frames.length > 1 || !isDrawable(bytes, frame)) return null
  const scan = segments.at(-1)?.to ?? 0
  if (endOf(bytes, scan) !== bytes.length) return null
  const head = segments.filter((one) => !isTold(bytes, one)).map(({ from, to }) => bytes.subarray(from, to))
  return joined([bytes.subarray(0, 2), ...head, bytes.subarray(scan)])
}
