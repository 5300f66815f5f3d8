// npm test: makes what the tests need, runs them, and says which were skipped. Given arguments go to vitest.
import { spawnSync } from 'node:child_process'
import { mkdirSync, readFileSync, rmSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { findBrowser } from './browser.mjs'
import { buildOrStop, programOf, root } from './build.mjs'

const report = process.env.KINU_TEST_REPORT ?? join(root, 'dist', 'reports', 'tests.json')
const browser = findBrowser()
const given = process.argv.slice(2)

buildOrStop(browser ? ['client', 'server', 'console'] : ['client', 'server'])
mkdirSync(dirname(report), { recursive: true })
rmSync(report, { force: true })

const vitest = [programOf('vitest', 'vitest'), 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`, ...given]
const { status } = spawnSync(process.execPath, vitest, {
  cwd: root,
  stdio: ['ignore', 'inherit', 'inherit'],
  env: { ...process.env, ...(browser ? { KINU_BROWSER: browser } : {}) },
})

const skipped = skippedIn(report)
if (!browser) console.log('\nNo browser was found (chromium on the path, or KINU_BROWSER), so the tests in a real browser did not run.')
if (skipped.length > 0) console.log(`\nSkipped, ${skipped.length}:\n${skipped.map((name) => `  ${name}`).join('\n')}`)
process.exit(status ?? 1)

function skippedIn(path) {
  try {
    const { testResults } = JSON.parse(readFileSync(path, 'utf8'))
    return testResults.flatMap((file) =>
      file.assertionResults
        .filter((test) => test.status !== 'passed' && test.status !== 'failed')
        .map((test) => `${relative(root, file.name)}: ${test.fullName}`),
    )
  } catch (error) {
    console.error(`The report of the tests could not be read: ${error instanceof Error ? error.message : error}`)
    return []
  }
}
