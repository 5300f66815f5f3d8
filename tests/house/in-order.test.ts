import { describe, expect, it } from 'vitest'
import { faultsInText, TOP_LEVEL } from '../../.tools/house-rule.js'
import { pathsOfTheHouse, readHouse } from '../../.tools/source-files.js'

describe('the house', () => {
  it('has nothing on its top level but what belongs there', () => {
    const top = new Set(pathsOfTheHouse().map((path) => path.split('/', 1)[0] ?? ''))
    expect([...top].filter((name) => !name.startsWith('.') && !TOP_LEVEL.includes(name))).toEqual([])
  })

  it('holds no machine path, no registry host, no unfinished note and no colour outside the theme', () => {
    const files = readHouse((path) => !path.startsWith('seed/reference/') && !/\.(?:png|jpg|pdf|woff2?|ico)$/.test(path))
    expect(files.flatMap(faultsInText)).toEqual([])
  })

  it('compares the words of both languages in a test', () => {
    const tests = readHouse((path) => path.startsWith('tests/') && /\.test\.tsx?$/.test(path))
    const both = tests.filter(({ text }) => /i18n\/en['"./]/.test(text) && /i18n\/sw['"./]/.test(text))
    expect(both.map(({ path }) => path)).not.toEqual([])
  })
})

// The forbidden words are put together here, so that this file does not hold them itself.
const slash = '/'
const hash = '#'
describe('the rule about texts', () => {
  it.each([
    ['a path of one machine', 'server/main.ts', `const data = '${slash}home/someone/data'`],
    ['a temporary folder of one machine', '.ci/run', `cat ${slash}tmp/out`],
    ['a registry', 'package-lock.json', `"resol${'ved'}": "https:${slash}/example.test/kinu.tgz"`],
    ['a note of something unfinished', 'server/main.ts', `// ${'TO'}${'DO'} later`],
    ['a colour of its own in a page', 'admin/pages/Lots.tsx', `const red = '${hash}C00000'`],
    ['a short colour in a style', 'admin/ui/card.css', `.card { color: ${hash}fff; }`],
    ['a colour as numbers', 'admin/ui/card.css', '.card { color: rgb(1, 2, 3); }'],
  ])('refuses %s', (_what, path, text) => {
    expect(faultsInText({ path, text })).toHaveLength(1)
  })

  it.each([
    ['a colour in the theme', 'admin/theme/tokens.ts', `export const ground = '${hash}FAF6EE'`],
    ['an import by subpath', 'admin/pages/Lots.tsx', "import type { Lot } from '#contract/lots'"],
    ['an address of the house', 'server/app.ts', "const prefix = '/api/v1'"],
    ['the number of a lot', 'admin/pages/Lots.tsx', 'const title = `lot ${number}`'],
  ])('allows %s', (_what, path, text) => {
    expect(faultsInText({ path, text })).toEqual([])
  })
})
