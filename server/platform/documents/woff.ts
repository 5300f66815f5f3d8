import { inflateSync } from 'node:zlib'

const HEADER = 44
const ENTRY = 20
const padded = (length: number): number => Math.ceil(length / 4) * 4

/**
 * A web font (WOFF 1.0, W3C 2012) as the plain font file that it wraps: its tables, inflated by zlib once instead of by the PDF writer
 * for every document. Throws when it is no such file.
 */
export const sfntOf = (woff: Buffer): Buffer => {
  if (woff.toString('latin1', 0, 4) !== 'wOFF') throw new Error('This is no WOFF 1.0 font')
  const count = woff.readUInt16BE(12)
  const tables = Array.from({ length: count }, (_, i) => {
    const at = HEADER + i * ENTRY
    const [offset, stored, length] = [woff.readUInt32BE(at + 4), woff.readUInt32BE(at + 8), woff.readUInt32BE(at + 12)]
    const data = woff.subarray(offset, offset + stored)
    return { tag: woff.subarray(at, at + 4), checksum: woff.readUInt32BE(at + 16), data: stored < length ? inflateSync(data) : data }
  })
  const log = Math.floor(Math.log2(count))
  const out = Buffer.alloc(12 + 16 * count + tables.reduce((sum, { data }) => sum + padded(data.length), 0))
  woff.copy(out, 0, 4, 8)
  ;[count, 16 * 2 ** log, log, 16 * (count - 2 ** log)].forEach((value, i) => out.writeUInt16BE(value, 4 + 2 * i))
  let offset = 12 + 16 * count
  tables.forEach(({ tag, checksum, data }, i) => {
    const at = 12 + 16 * i
    tag.copy(out, at)
    ;[checksum, offset, data.length].forEach((value, j) => out.writeUInt32BE(value, at + 4 + 4 * j))
    data.copy(out, offset)
    offset += padded(data.length)
  })
  return out
}
