// npm start: builds what is stale, then becomes the server with its demo (same process, so that its signals are the server's).
import { buildOrStop } from './build.mjs'

buildOrStop(['client', 'server', 'console'])
await import('../dist/server/start.js')
