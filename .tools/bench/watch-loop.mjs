// Loaded into the measured process before anything else: says on demand how late its event loop was, in milliseconds.
import { isMainThread } from 'node:worker_threads'
import { monitorEventLoopDelay } from 'node:perf_hooks'

const RESOLUTION_MS = 5

if (isMainThread && process.send) {
  const delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS })
  delay.enable()
  // perf_hooks counts from one timer to the next, so its own interval is taken off
  const late = (share) => Math.max(0, delay.percentile(share) / 1e6 - RESOLUTION_MS)
  process.on('message', () => {
    process.send({ p50: late(50), p99: late(99), max: Math.max(0, delay.max / 1e6 - RESOLUTION_MS) })
    delay.reset()
  })
  process.channel.unref()
}
