// npm run bench: solves and certainty; `npm run bench -- api`: a started mill; `-- screen`: its formula page;
// `-- cases`: the published one-mix cases.
// Ratios within one run are what counts: everything has its turn in every round, because machines are shared.
import { buildOrStop } from './build.mjs'

const PARTS = {
  solves: async () => (await import('./bench/solves.mjs')).measureSolves(),
  certainty: async () => (await import('./bench/certainty.mjs')).measureCertainty(),
  api: async () => (await import('./bench/api.mjs')).measureApi(),
  screen: async () => (await import('./bench/screen.mjs')).measureScreen(),
  cases: async () => (await import('./bench/cases.mjs')).measureCases(),
}

const asked = process.argv.length > 2 ? process.argv.slice(2) : ['solves', 'certainty']
const unknown = asked.find((name) => !Object.hasOwn(PARTS, name))
if (unknown !== undefined) {
  console.error(`There is no part "${unknown}"; parts are ${Object.keys(PARTS).join(', ')}`)
  process.exit(1)
}
buildOrStop(asked.some((name) => name === 'api' || name === 'screen') ? ['client', 'server', 'console'] : ['client', 'server'])
for (const name of asked) await PARTS[name]()
