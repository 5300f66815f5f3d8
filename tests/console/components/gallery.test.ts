import { readFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import { createRequire } from 'node:module'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { extname, join } from 'node:path'
import { chromium, type Browser, type Page } from 'playwright-core'
import { build } from 'vite'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const browserPath = process.env['KINU_BROWSER']
const ARGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-component-update', '--disable-sync']
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
}
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const LOOKS = ['light', 'dark', 'sunlight', 'sw&sunlight']

type Violation = { readonly id: string; readonly impact: string | null; readonly html: string }

/** The page of all parts, built as the console is built, in a real browser: `npm test` names one in KINU_BROWSER. */
describe.skipIf(!browserPath)('every part of the console', () => {
  let folder = ''
  let server: Server
  let browser: Browser
  let address = ''

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'kinu-gallery-'))
    await build({ configFile: 'admin/vite.config.ts', mode: 'gallery', logLevel: 'error', build: { outDir: folder, emptyOutDir: true } })
    server = createServer((request, reply) => {
      const path = (request.url ?? '/').split('?')[0] ?? '/'
      try {
        const body = readFileSync(join(folder, path.endsWith('/') ? `${path}index.html` : path))
        reply.writeHead(200, { 'content-type': TYPES[extname(path)] ?? 'text/html' }).end(body)
      } catch {
        reply.writeHead(404).end()
      }
    })
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const bound = server.address()
    address = `http://127.0.0.1:${typeof bound === 'object' && bound ? bound.port : 0}/gallery/`
    browser = await chromium.launch({ executablePath: browserPath ?? '', args: ARGS })
  }, 120_000)

  afterAll(async () => {
    await browser.close()
    server.close()
    rmSync(folder, { recursive: true, force: true })
  })

  const opened = async (look: string, width: number): Promise<Page> => {
    const page = await browser.newPage({ viewport: { width, height: 800 } })
    await page.goto(`${address}?${look}`)
    await page.getByRole('heading', { level: 1, name: 'Layer peak v4' }).waitFor()
    await page.evaluate('document.fonts.ready')
    return page
  }

  const seriousIn = async (page: Page): Promise<Violation[]> => {
    const violations: Violation[] = await page.evaluate(
      'axe.run().then(({ violations }) => violations.map(({ id, impact, nodes }) => ({ id, impact, html: nodes[0].html })))',
    )
    return violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
  }

  test.each(LOOKS)(
    '%s: axe finds nothing serious and nothing scrolls sideways, from 320 to 1280 px',
    async (look) => {
      const page = await opened(look, 1280)
      await page.addScriptTag({ content: AXE })
      expect(await seriousIn(page)).toEqual([])
      for (const width of [1280, 360, 320]) {
        await page.setViewportSize({ width, height: 800 })
        expect(await page.evaluate('document.documentElement.scrollWidth'), `${width} px`).toBe(width)
      }
      expect(await seriousIn(page)).toEqual([])
      await page.close()
    },
    120_000,
  )

  test('buttons and fields are at least 44 px high', async () => {
    const page = await opened('light', 360)
    const low: string[] = await page.evaluate(
      `[...document.querySelectorAll('button, input, select, summary, nav a')].filter((part) => { const { height } = part.getBoundingClientRect(); return height > 0 && height < 44 }).map((part) => part.outerHTML)`,
    )
    expect(low).toEqual([])
    await page.close()
  })

  test('fonts come from the mill itself', async () => {
    const page = await browser.newPage()
    const asked: string[] = []
    page.on('request', (request) => asked.push(request.url()))
    await page.goto(`${address}?light`)
    await page.evaluate('document.fonts.ready')
    expect(asked.some((url) => url.endsWith('.woff2'))).toBe(true)
    expect(asked.filter((url) => !url.startsWith('http://127.0.0.1'))).toEqual([])
    await page.close()
  })
})
