// How much a member's phone loads before and after its first page: everything that the member entry reaches, compressed as the server
// sends it, fonts included. More than 200 kB is a failure: on 400 kbit/s that is 4 s of the 5 s a first page may take.
import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { brotliCompressSync, constants, gzipSync } from 'node:zlib'
import { root } from './build.mjs'

const MOST_BYTES = 200_000
const dist = join(root, 'admin', 'dist')
const entries = ['member/index.html', 'index.html'].filter((path) => existsSync(join(dist, path)))
// As fonts are compressed already, nobody compresses them again.
const COMPRESSED = /\.(?:woff2?|png|jpg|webp)$/

const sizes = entries.map((entry) => ({ entry, ...sizeOf(reach(entry)) }))
for (const { entry, bytes, gzipBytes, rows } of sizes) {
  console.log(`${entry}: ${kB(bytes)} kB with brotli, ${kB(gzipBytes)} kB with gzip, ${rows.length} files`)
  for (const row of rows.slice(0, 8)) console.log(`  ${kB(row.bytes).padStart(7)} kB  ${row.path}`)
}
const member = sizes.find(({ entry }) => entry.startsWith('member'))
if (member === undefined) stop('the console has no entry for members (member/index.html)')
if (member.gzipBytes > MOST_BYTES) stop(`the member entry is ${kB(member.gzipBytes)} kB with gzip, more than ${kB(MOST_BYTES)} kB`)

function stop(why) {
  console.error(`Size of the console: ${why}`)
  process.exit(1)
}

function kB(bytes) {
  return (bytes / 1000).toFixed(1)
}

/** Every built file that the entry's page names, and what those name in turn. */
function reach(entry) {
  const assets = readdirSync(join(dist, 'assets'))
  const found = new Set([entry])
  for (const path of found) {
    if (COMPRESSED.test(path)) continue
    const text = readFileSync(join(dist, path), 'utf8')
    for (const name of assets) if (text.includes(name)) found.add(`assets/${name}`)
  }
  return [...found]
}

function sizeOf(paths) {
  const rows = paths.map((path) => {
    const content = readFileSync(join(dist, path))
    const ready = COMPRESSED.test(path)
    const quality = { params: { [constants.BROTLI_PARAM_QUALITY]: 4 } }
    return {
      path,
      bytes: ready ? content.length : brotliCompressSync(content, quality).length,
      gzipBytes: ready ? content.length : gzipSync(content).length,
    }
  })
  rows.sort((a, b) => b.bytes - a.bytes)
  return { rows, bytes: sum(rows, 'bytes'), gzipBytes: sum(rows, 'gzipBytes') }
}

function sum(rows, what) {
  return rows.reduce((total, row) => total + row[what], 0)
}
