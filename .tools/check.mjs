// npm run check: everything that CI runs besides installing. Every step runs, even after one failed; the last line counts tests
// and checks. What cannot run on this machine is named; with CI set in the environment it counts as failed instead.
import { spawn, spawnSync } from 'node:child_process'
import { closeSync, existsSync, mkdirSync, openSync, readFileSync, rmSync } from 'node:fs'
import { join, relative } from 'node:path'
import { findBrowser } from './browser.mjs'
import { programOf, root } from './build.mjs'
import { newerNode } from './newer-node.mjs'

const strict = Boolean(process.env.CI)
const reports = join(root, 'dist', 'reports')
const node = process.execPath
const tool = (name) => join(root, '.tools', name)
const viaTsx = ['--import', 'tsx', '--conditions=kinu-source']

// prettier keeps one core busy for as long as the steps before it take together, so it begins with them
const formatted = meanwhile([node, programOf('prettier', 'prettier'), '--check', '--log-level', 'warn', '.'])

const STEPS = [
  ['build: Prisma client, server, console', () => checked([node, tool('build.mjs')])],
  ['lint', () => checked([node, programOf('oxlint', 'oxlint')])],
  ['import rule', () => checked([node, ...viaTsx, tool('check-imports.ts')])],
  ['types of server, seed and tests', () => checked([node, programOf('typescript', 'tsc'), '-p', 'tsconfig.json'])],
  ['types of the console', () => checked([node, programOf('typescript', 'tsc'), '-p', 'tsconfig.admin.json'])],
  ['openapi.json is the one the routes make', () => checked([node, ...viaTsx, tool('write-openapi.ts'), '--check'])],
  ['size of the console', () => checked([node, tool('console-size.mjs')])],
  ['docker-compose.yml parses', composeParses],
  ['format', () => formatted],
  ['npm test', npmTest],
  ['core tests on Node 24', () => onNewerNode],
]

/** What runs beside `npm test`, in the time in which that waits. */
let onNewerNode

function npmTest() {
  onNewerNode = coreTestsOnNewerNode()
  return tested(['npm', 'test'], 'tests.json')
}

/** One check: passed when the command ends with 0. */
function checked(command, environment = {}) {
  return run(command, environment) === 0 ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 }
}

/** One check beside others: what it says follows when it has ended. */
function meanwhile([program, ...given]) {
  const child = spawn(program, given, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] })
  const said = []
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => said.push(text))
  return new Promise((done) => {
    child.on('error', (error) => done({ passed: 0, failed: 1, note: String(error) }))
    child.on('close', (status) => {
      process.stdout.write(Buffer.concat(said))
      done(status === 0 ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 })
    })
  })
}

function run([program, ...given], environment) {
  const { status, error } = spawnSync(program, given, {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...environment },
  })
  if (error) console.error(`${program} could not be run: ${error.message}`)
  return status ?? 1
}

/** A run of tests, counted from vitest's own report. A run that ends badly with no failed test (a file that cannot be read, say) counts as one failure. */
function tested(command, reportName) {
  const report = freshReport(reportName)
  return outcomeOf(report, run(command, { KINU_TEST_REPORT: report }))
}

/**
 * The same beside another run and behind it, but not so far that a search of two seconds finds no time; what it says is kept in a file, because
 * nobody reads it meanwhile.
 */
function testedMeanwhile(command, reportName) {
  const report = freshReport(reportName)
  const said = `${report}.log`
  const file = openSync(said, 'w')
  const child = spawn('nice', ['-n', '10', ...command], { cwd: root, stdio: ['ignore', file, file] })
  closeSync(file)
  return new Promise((done) => {
    child.on('error', (error) => done({ passed: 0, failed: 1, note: String(error) }))
    child.on('close', (status) => {
      process.stdout.write(readFileSync(said))
      done(outcomeOf(report, status ?? 1))
    })
  })
}

function freshReport(name) {
  const report = join(reports, name)
  mkdirSync(reports, { recursive: true })
  rmSync(report, { force: true })
  return report
}

function outcomeOf(report, status) {
  if (!existsSync(report)) return { passed: 0, failed: 1, note: 'the tests left no report' }
  const { numPassedTests: passed, numFailedTests: failed, testResults } = JSON.parse(readFileSync(report, 'utf8'))
  const brokenFiles = testResults.filter(
    (file) => file.status === 'failed' && file.assertionResults.every((test) => test.status !== 'failed'),
  )
  const skipped = testResults.flatMap((file) => file.assertionResults).filter((test) => !['passed', 'failed'].includes(test.status)).length
  const names = testResults.flatMap((file) =>
    file.assertionResults.filter((test) => test.status === 'failed').map((test) => `${relative(root, file.name)}: ${test.fullName}`),
  )
  const skippedFailures = strict || findBrowser() !== null ? skipped : 0
  const faults = failed + brokenFiles.length + skippedFailures
  return {
    passed,
    failed: faults === 0 && (status !== 0 || passed === 0) ? 1 : faults,
    note: [skipped > 0 ? `${skipped} skipped` : '', ...brokenFiles.map((file) => `${relative(root, file.name)} could not run`), ...names]
      .filter((line) => line !== '')
      .join('\n    '),
  }
}

function coreTestsOnNewerNode() {
  const newer = newerNode()
  if (newer === null) return cannot('Node 24 could not be installed for this machine')
  console.log(`core tests on Node ${newer.version}`)
  // the searches over thousands of random problems say something of the mathematics, not of the Node: they run once, in npm test
  const searches = [
    'random-*',
    'certainty',
    'certainty-draws',
    'parametric-certain',
    'parametric-properties',
    'parametric-ratio',
    'repair-offers',
    'alternatives',
  ]
  const once = searches.map((name) => `tests/core/formulation/${name}.test.ts`)
  const chosen = ['--project=pure', 'tests/core', ...once.map((glob) => `--exclude=${glob}`)]
  const vitest = [programOf('vitest', 'vitest'), 'run', ...chosen, '--reporter=default', '--reporter=json']
  return testedMeanwhile([newer.path, ...vitest, `--outputFile.json=${join(reports, 'tests-node-24.json')}`], 'tests-node-24.json')
}

function composeParses() {
  const compose = [['docker-compose'], ['docker', 'compose']].find(
    ([program, ...given]) => spawnSync(program, [...given, 'version'], { stdio: 'ignore' }).status === 0,
  )
  if (compose === undefined) return cannot('there is no docker-compose on this machine')
  const placeholders = { KINU_OWNER_PASSWORD: 'only-parsed', KINU_SESSION_SECRET: 'only-parsed-only-parsed-only-parsed' }
  return checked([...compose, '-f', 'docker-compose.yml', 'config', '--quiet'], placeholders)
}

const cannot = (why) => (strict ? { passed: 0, failed: 1, note: why } : { passed: 0, failed: 0, note: `not run: ${why}` })

const outcomes = []
for (const [name, step] of STEPS) {
  console.log(`\n=== ${name}`)
  const started = Date.now()
  const outcome = await attempt(step)
  const seconds = ((Date.now() - started) / 1000).toFixed(1)
  const line = `${outcome.failed > 0 ? 'FAILED' : outcome.passed > 0 ? 'passed' : 'absent'} ${name}, ${seconds} s`
  console.log(`=== ${line}`)
  outcomes.push({ ...outcome, line: outcome.note ? `${line}\n    ${outcome.note}` : line })
}

async function attempt(step) {
  try {
    return await step()
  } catch (error) {
    console.error(error)
    return { passed: 0, failed: 1, note: String(error) }
  }
}

const total = (what) => outcomes.reduce((sum, outcome) => sum + outcome[what], 0)
console.log(`\n${outcomes.map(({ line }) => line).join('\n')}`)
console.log(`${total('passed')} passed, ${total('failed')} failed`)
process.exitCode = total('failed') === 0 ? 0 : 1
