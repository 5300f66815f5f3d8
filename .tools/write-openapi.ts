// Writes server/openapi.json from the routes themselves; with --check it compares instead, and fails on a difference.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openApiDocument } from './openapi-document.js'
import { ROOT } from './source-files.js'

const path = join(ROOT, 'server', 'openapi.json')
const made = `${JSON.stringify(await openApiDocument(), null, 2)}\n`

function readOr(otherwise: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch {
    return otherwise
  }
}

if (!process.argv.includes('--check')) {
  writeFileSync(path, made)
  console.log(`Wrote server/openapi.json, ${made.length} characters`)
} else if (readOr('') === made) {
  console.log('server/openapi.json is what the routes make')
} else {
  const [was, is] = [readOr('').split('\n'), made.split('\n')]
  const line = is.findIndex((text, index) => text !== was[index])
  console.error(
    `server/openapi.json differs from line ${line + 1} on:\n  committed: ${was[line] ?? '(end)'}\n  made:      ${is[line] ?? '(end)'}`,
  )
  console.error('Run npm run openapi, read the difference, commit it.')
  process.exitCode = 1
}
process.exit()
