// A worker thread cannot load TypeScript: in development and tests this registers tsx first. The compiled server never loads it.
import { register } from 'tsx/esm/api'

register()
const { default: work } = await import('./worker.ts')
export default work
