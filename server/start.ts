// What `npm start` runs: the mill with its demo, told to a person.
import { DEMO_LOGINS } from './demo.js'
import { runProcess } from './main.js'

await runProcess(true, ({ address, demoPassword }) => {
  const lines = [
    '',
    address === undefined ? 'Kinu works on jobs; it serves no pages in this role.' : `Kinu is ready: ${address}`,
    ...(demoPassword === undefined
      ? []
      : ['', 'Demo logins, all with the password', `  ${demoPassword}`, ...DEMO_LOGINS.map((login) => `  ${login}`)]),
    '',
    'Ctrl-C stops everything.',
    '',
  ]
  process.stdout.write(lines.join('\n'))
})
