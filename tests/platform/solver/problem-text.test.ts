import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { readProblemFile } from '#platform/solver/problem-file'
import { readTextFile, textOf } from '#platform/solver/problem-text'

const small = '{"kind":"none","problem":{}}'

describe('the bytes of a problem file', () => {
  test.each([
    ['plain', Buffer.from(small)],
    ['with a mark in front', Buffer.from(`\uFEFF${small}`)],
  ])('are UTF-8, %s', (_, bytes) => {
    expect(textOf(bytes)).toEqual({ ok: true, text: small })
  })

  test.each([
    ['UTF-16 with a mark', Buffer.from(`\uFEFF${small}`, 'utf16le'), 'the file is UTF-16: save it as UTF-8'],
    ['UTF-16 the other way round', Buffer.from(`\uFEFF${small}`, 'utf16le').swap16(), 'the file is UTF-16: save it as UTF-8'],
    ['UTF-16 without a mark', Buffer.from(small, 'utf16le'), 'the file is UTF-16: save it as UTF-8'],
    ['UTF-16 the other way round without a mark', Buffer.from(small, 'utf16le').swap16(), 'the file is UTF-16: save it as UTF-8'],
    ['no text', Buffer.from([0x7b, 0xc3, 0x28]), 'the file is no UTF-8 text: save it as UTF-8'],
  ])('that are %s are refused with what to do', (_, bytes, why) => {
    expect(textOf(bytes)).toEqual({ ok: false, why })
  })

  test('of nothing are no JSON', () => {
    const read = textOf(Buffer.from(''))
    expect(read).toEqual({ ok: true, text: '' })
    expect(readProblemFile('')).toEqual({ kind: 'malformed', message: 'the file is not JSON: Unexpected end of JSON input' })
  })
})

describe('a path', () => {
  let folder = ''
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'kinu-problem-'))
  })
  afterAll(() => rm(folder, { recursive: true }))

  test('to a folder, to nothing or to what never ends is refused with the reason', async () => {
    const missing = join(folder, 'missing.json')
    expect(await readTextFile(folder)).toEqual({ ok: false, why: `${folder}: cannot be read: it is a folder` })
    expect(await readTextFile(missing)).toEqual({ ok: false, why: `${missing}: cannot be read: there is no such file` })
    expect(await readTextFile('/dev/zero')).toEqual({ ok: false, why: '/dev/zero: is larger than 64 MB' })
  })
})
