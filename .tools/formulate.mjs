// npm run -s formulate -- FILE: standard output is the answer and nothing else.
import { buildOrStop } from './build.mjs'

buildOrStop(['client', 'server'])
await import('../dist/server/formulate.js')
