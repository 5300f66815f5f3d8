import { expect, test } from 'vitest'
import { MOST_POINTS, plainJpeg } from '#core/receiving/jpeg'
import { SMALL_JPEG } from '../../support/small-jpeg.js'

const segment = (marker: number, text: string): Buffer => {
  const body = Buffer.from(text, 'latin1')
  return Buffer.concat([Buffer.from([0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 0xff]), body])
}
const withSegments = (...segments: readonly Buffer[]): Buffer =>
  Buffer.concat([SMALL_JPEG.subarray(0, 2), ...segments, SMALL_JPEG.subarray(2)])
const plain = (bytes: Buffer) => {
  const kept = plainJpeg(bytes)
  return kept === null ? null : Buffer.from(kept)
}
/** Its height and width overwritten; the frame of a baseline JPEG begins FF C0, length, 8 bits, height, width (ISO/IEC 10918-1, B.2.2). */
const sized = (height: number, width: number): Buffer => {
  const bytes = Buffer.from(SMALL_JPEG)
  const frame = bytes.indexOf(Buffer.from([0xff, 0xc0]))
  bytes.writeUInt16BE(height, frame + 5)
  bytes.writeUInt16BE(width, frame + 7)
  return bytes
}

test('a JPEG of a browser stays as it is, to the byte', () => {
  expect(plain(SMALL_JPEG)).toEqual(SMALL_JPEG)
})

test('what a picture tells of camera, place and maker is taken out, and a script in a comment too', () => {
  const exif = segment(0xe1, `Exif\0\0GPS 1.2921 S 36.8219 E ${'\xff\xd8\xff\xd9'}`)
  expect(plain(withSegments(exif, segment(0xfe, '<script>alert(1)</script>'), segment(0xed, 'Photoshop')))).toEqual(SMALL_JPEG)
})

test.each([
  [
    'a file that only begins and ends like one',
    Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(5000, 7), Buffer.from([0xff, 0xd9])]),
  ],
  ['one that was cut off', SMALL_JPEG.subarray(0, -40)],
  ['a page behind its end', Buffer.concat([SMALL_JPEG, Buffer.from('<html></html>'), Buffer.from([0xff, 0xd9])])],
  ['one without a scan', Buffer.concat([SMALL_JPEG.subarray(0, 20), Buffer.from([0xff, 0xd9])])],
  ['a size of nothing', sized(0, 8)],
  ['more points than can be drawn', sized(MOST_POINTS + 1, 8)],
  ['the widest that can be written', sized(8, 65_535)],
  ['nothing', Buffer.alloc(0)],
])('%s is no picture', (_what, bytes) => {
  expect(plainJpeg(bytes)).toBeNull()
})

test('as large as can be drawn is one', () => {
  expect(plain(sized(MOST_POINTS, MOST_POINTS))).not.toBeNull()
})
