import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { FEATURE_LEVELS } from '../../.tools/import-rule.js'
import { ROOT } from '../../.tools/source-files.js'

const read = (path: string): string => readFileSync(join(ROOT, path), 'utf8')
const linksOf = (text: string): string[] =>
  [...text.matchAll(/\]\(([^)#]+)/g)].map((match) => match[1] ?? '').filter((link) => !/^\w+:/.test(link))

describe('README.md and DEVELOPERS.md', () => {
  it.each(['README.md', 'DEVELOPERS.md'])('%s has only links that lead somewhere', (path) => {
    const links = linksOf(read(path))
    expect(links.length).toBeGreaterThan(0)
    expect(links.filter((link) => !existsSync(join(ROOT, link)))).toEqual([])
  })

  it('list every variable of the environment that the server reads, and no other', () => {
    const names = (text: string, line: RegExp): string[] => [...text.matchAll(line)].map((match) => match[1] ?? '').sort()
    const schema = /z\.object\(\{([\s\S]*?)\n\}\)/.exec(read('server/config.ts'))?.[1] ?? ''
    const known = names(schema, /^ {2}([A-Z_]+):/gm)
    expect(known.length).toBeGreaterThan(5)
    expect(names(read('README.md'), /^\| `([A-Z_]+)` \|/gm)).toEqual(known)
  })

  it('name only npm scripts that exist', () => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> }
    const text = read('README.md') + read('DEVELOPERS.md')
    const named = [...text.matchAll(/npm (?:run (?:-s )?([\w:]+)|(start|test))/g)].map((match) => match[1] ?? match[2] ?? '')
    expect(named.length).toBeGreaterThan(5)
    expect(named.filter((name) => !(name in scripts))).toEqual([])
  })

  it('draw every feature on the level where the import rule has it', () => {
    const drawing = (/never one beside or above it:\s*```([\s\S]*?)```/.exec(read('DEVELOPERS.md'))?.[1] ?? '').replace(/\(.*\)/g, '')
    const drawn = drawing
      .split('\n')
      .map((line) => line.match(/[a-z]+/g) ?? [])
      .filter((level) => level.length > 0)
    expect(drawn.reverse()).toEqual(FEATURE_LEVELS)
  })

  it('decisions are numbered without a gap', () => {
    const decisions = read('DEVELOPERS.md').split('## Decisions')[1] ?? ''
    const numbers = [...decisions.matchAll(/^(\d+)\. /gm)].map((match) => Number(match[1]))
    expect(numbers.length).toBeGreaterThan(10)
    expect(numbers).toEqual(numbers.map((_number, index) => index + 1))
  })
})
