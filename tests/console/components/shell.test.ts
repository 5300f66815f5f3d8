import { readdirSync, readFileSync } from 'node:fs'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { ROLES } from '#contract/access'
import { PICTOGRAM_NAMES, PICTOGRAMS } from '#core/pictogram/paths'
import { en } from '../../../admin/i18n/en'
import { translate } from '../../../admin/i18n/translate'
import { matchPath } from '../../../admin/member/router'
import { canAccess } from '../../../admin/providers/canAccess'
import { makeDataProvider, problemOf } from '../../../admin/providers/dataProvider'
import { rememberCsrf } from '../../../admin/providers/http'
import { navigationFor } from '../../../admin/shell/navigation'
import { TOKENS, type ThemeName, type Tokens } from '../../../admin/theme/tokens'
import { findingWords } from '../../../admin/ui/findingWords'
import { layOutTrace } from '../../../admin/ui/pictures/traceLayout'

const t = (key: string, facts = {}) => translate(en, key, facts)

describe('colours', () => {
  // relative luminance and contrast as WCAG 2.2 defines them (from memory)
  const luminance = (hex: string): number => {
    const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
      const part = parseInt(hex.slice(at, at + 2), 16) / 255
      return part <= 0.03928 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
    })
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }
  const contrast = (a: string, b: string): number => {
    const [high = 0, low = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x)
    return (high + 0.05) / (low + 0.05)
  }
  const TEXT: readonly (readonly [keyof Tokens, keyof Tokens])[] = [
    ['ink', 'ground'],
    ['ink', 'card'],
    ['ink', 'sunk'],
    ['softInk', 'ground'],
    ['softInk', 'card'],
    ['softInk', 'sunk'],
    ['lake', 'ground'],
    ['lake', 'card'],
    ['onLake', 'lake'],
    ['pass', 'passGround'],
    ['warn', 'warnGround'],
    ['block', 'blockGround'],
    ['unknown', 'unknownGround'],
  ]

  test.each(Object.keys(TOKENS) as ThemeName[])('%s: text reads at 4.5 to 1, borders at 3 to 1', (theme) => {
    for (const [front, back] of TEXT)
      expect(contrast(TOKENS[theme][front], TOKENS[theme][back]), `${front} on ${back}`).toBeGreaterThanOrEqual(4.5)
    for (const back of ['ground', 'card', 'sunk'] as const)
      expect(contrast(TOKENS[theme].edge, TOKENS[theme][back])).toBeGreaterThanOrEqual(3)
  })

  test('stand nowhere but in the tokens', () => {
    const files = readdirSync('admin', { recursive: true, encoding: 'utf8' }).filter(
      (path) => /\.(tsx?|css)$/.test(path) && !path.startsWith('dist') && path !== 'theme/tokens.ts',
    )
    for (const path of files)
      expect(readFileSync(`admin/${path}`, 'utf8'), path).not.toMatch(/#[0-9a-f]{6}\b|#[0-9a-f]{3}\b(?=[;'" ])|rgba?\(|hsla?\(/i)
  })
})

describe('roles', () => {
  test('see at most five entries on the bar, each only when its page exists', () => {
    for (const role of ROLES) {
      expect(navigationFor(role, () => true).bar.length).toBeLessThanOrEqual(5)
      expect(navigationFor(role, (path) => path === '/').bar.length).toBeLessThanOrEqual(1)
    }
    expect(navigationFor('manager', () => true).bar.map(({ words }) => t(words))).toEqual(['Morning', 'Decide', 'Plan', 'Stock', 'Trace'])
    expect(navigationFor('store-keeper', () => true).bar.map(({ words }) => t(words))).toEqual([
      'Today',
      'Receive',
      'Hand over',
      'Stock',
      'Count',
    ])
    expect(navigationFor('mixer-operator', () => true).bar.map(({ words }) => t(words))).toEqual(['Now', 'Today', 'Problem'])
  })

  test('are offered what is theirs and nothing unknown', () => {
    expect(canAccess('store-keeper', 'create', 'lots')).toBe(true)
    expect(canAccess('mixer-operator', 'create', 'lots')).toBe(false)
    expect(canAccess('laboratory', 'list', 'lots')).toBe(true)
    expect(canAccess('member', 'list', 'lots')).toBe(false)
    expect(canAccess('manager', 'close', 'discrepancies')).toBe(true)
    expect(canAccess('manager', 'delete', 'lots')).toBe(false)
    expect(canAccess('manager', 'list', 'no-such-thing')).toBe(false)
    expect(canAccess('manager', 'toString', 'lots')).toBe(false)
  })
})

describe('paths of the member', () => {
  test('fit patterns whole and give their parts', () => {
    expect(matchPath('/orders/:id', '/orders/7')).toEqual({ id: '7' })
    expect(matchPath('/orders/:id', '/orders/')).toBeNull()
    expect(matchPath('/orders', '/orders?new=1')).toEqual({})
    expect(matchPath('/orders', '/orders/7')).toBeNull()
  })
})

describe('requests', () => {
  const seen: { url: string; init: RequestInit }[] = []
  const answerWith = (status: number, body: unknown, headers: Record<string, string> = {}) =>
    vi.stubGlobal('fetch', (url: string, init: RequestInit) => {
      seen.push({ url, init })
      return Promise.resolve(new Response(JSON.stringify(body), { status, headers }))
    })
  const last = () => seen.at(-1)
  const header = (name: string) => new Headers(last()?.init.headers).get(name)
  afterEach(() => {
    vi.unstubAllGlobals()
    seen.length = 0
  })
  const provider = makeDataProvider(t)

  test('lists ask page, order and filters, and take the total from the header', async () => {
    answerWith(200, [{ id: 'a' }], { 'x-total-count': '41' })
    const list = await provider.getList('lots', {
      pagination: { page: 2, perPage: 25 },
      sort: { field: 'receivedAt', order: 'DESC' },
      filter: { status: ['on-hold', 'released'], q: '' },
    })
    expect(list).toEqual({ data: [{ id: 'a' }], total: 41 })
    expect(last()?.url).toBe('/api/v1/lots?page=2&perPage=25&sort=receivedAt&order=desc&status=on-hold%2Creleased')
  })

  test('many records are asked for by their ids in one request', async () => {
    answerWith(200, [{ id: 'a' }, { id: 'b' }])
    await provider.getMany('suppliers', { ids: ['a', 'b'] })
    expect(last()?.url).toBe('/api/v1/suppliers?page=1&perPage=2&id=a%2Cb')
  })

  test('a creation carries the key of its form and the token of its session', async () => {
    rememberCsrf('token-1')
    answerWith(201, { id: 'new' })
    await provider.create('lots', { data: { netKg: '82' }, meta: { idempotencyKey: 'key-1' } })
    expect([last()?.init.method, header('idempotency-key'), header('x-csrf-token'), last()?.init.body]).toEqual([
      'POST',
      'key-1',
      'token-1',
      '{"netKg":"82"}',
    ])
  })

  test('a change carries the revision that was read', async () => {
    answerWith(200, { id: 'a', revision: 4 })
    await provider.update('formulas', { id: 'a', data: { nameEn: 'x' }, previousData: { id: 'a', revision: 3 } })
    expect([last()?.init.method, header('if-match')]).toEqual(['PATCH', '"3"'])
  })

  test('a problem becomes the errors of its fields, in our words where there are some', async () => {
    answerWith(422, {
      code: 'bad-input',
      requestId: 'r-9',
      errors: [
        { path: 'netKg', code: 'too_small', message: 'more than 0 kg' },
        { path: 'supplierId', code: 'supplier-unknown', message: 'x' },
      ],
    })
    const caught: unknown = await provider.create('lots', { data: {} }).catch((error: unknown) => error)
    expect(caught).toMatchObject({
      status: 422,
      body: { errors: { netKg: 'more than 0 kg', supplierId: 'This supplier is not in the list' } },
    })
    expect(problemOf(caught)).toMatchObject({ code: 'bad-input', requestId: 'r-9' })
  })

  test('no network and a broken answer have codes with words too', async () => {
    vi.stubGlobal('fetch', () => Promise.reject(new TypeError('failed')))
    vi.stubGlobal('navigator', { onLine: false })
    expect(problemOf(await provider.getOne('lots', { id: 'a' }).catch((error: unknown) => error))).toMatchObject({ code: 'no-network' })
    answerWith(502, 'bad gateway')
    expect(problemOf(await provider.getOne('lots', { id: 'a' }).catch((error: unknown) => error))).toMatchObject({
      code: 'internal',
      status: 502,
    })
  })
})

describe('trace', () => {
  test('keeps the asked thing in sight and adds up what it bundles', () => {
    const members = Array.from({ length: 12 }, (_, index) => ({
      id: `m${index}`,
      level: 'member' as const,
      label: `m${index}`,
      kgText: '',
    }))
    const nodes = [{ id: 'b', level: 'batch' as const, label: 'b', kgText: '' }, ...members]
    const links = members.map(({ id }) => ({ from: 'b', to: id, kg: 10, kgText: '', certain: true }))
    const layout = layOutTrace(nodes, links, 'm11')
    const shown = layout.nodes.filter(({ level }) => level === 'member')
    expect(shown).toHaveLength(8)
    expect(shown[0]?.id).toBe('m11')
    expect(shown.at(-1)?.bundled).toBe(5)
    expect(layout.links.reduce((sum, { kg }) => sum + kg, 0)).toBe(120)
    expect(layout.links.find(({ to }) => to === 'member:more')?.kg).toBe(50)
  })
})

describe('safety findings', () => {
  test('have a sentence for every code that core can say', () => {
    const text = readdirSync('server/core/safety')
      .map((file) => readFileSync(`server/core/safety/${file}`, 'utf8'))
      .join('\n')
    const codes = [...text.matchAll(/code: '([a-z-]+)'/g)].map(([, code = '']) => code)
    expect(codes.length).toBeGreaterThan(5)
    for (const code of new Set(codes)) expect(t(`finding.code.${code}`), code).not.toBe(`finding.code.${code}`)
  })

  test('become the four lines of a card', () => {
    const card = findingWords(
      {
        ruleId: 'AF-EA-01',
        severity: 'block',
        topic: 'aflatoxin',
        what: { code: 'above-limit', facts: { item: 'total aflatoxins' } },
        found: { value: 26, unit: 'ug/kg', knownBy: 'measured' },
        limit: { value: 20, unit: 'ug/kg', side: 'max' },
        source: { key: 'EAS90', read: false, jurisdiction: 'East Africa' },
        appliesTo: 'layer_peak',
        action: 'reject',
      },
      { t, language: 'en' },
    )
    expect(card.what).toBe('Too much: aflatoxin, all kinds')
    expect(card.reasons).toEqual(['Aflatoxin, all kinds: 26\u00a0ug/kg, at most 20\u00a0ug/kg (measured)'])
    expect(card.rule).toEqual({ id: 'AF-EA-01', source: 'EAS90', read: false, appliesTo: 'layers at peak of lay', country: 'East Africa' })
    expect(card.next).toContain('Reject it')
  })
})

describe('pictograms', () => {
  test('are strokes within their box that a PDF can draw', () => {
    expect(PICTOGRAM_NAMES).toHaveLength(28)
    for (const name of PICTOGRAM_NAMES) {
      for (const path of PICTOGRAMS[name]) {
        expect(path, name).toMatch(/^M[\d.\sMLCAZHV-]+$/)
        const straight = path.replace(/A[\d.\s-]+/g, ' ')
        for (const figure of straight.match(/\d+(\.\d+)?/g) ?? []) expect(Number(figure), name).toBeLessThanOrEqual(24)
      }
    }
  })
})
