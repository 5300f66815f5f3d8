import type { Logger } from 'pino'

type Closer = { readonly name: string; readonly close: () => Promise<unknown> }
export type Shutdown = {
  /** What is opened last is closed first. */
  readonly onClose: (name: string, close: () => Promise<unknown>) => void
  /** Closes all; resolves when it is done. */
  readonly close: (reason: string) => Promise<void>
}

const LONGEST_MS = 20_000
// npm hands on a Ctrl-C that the terminal has sent already: two signals that are one wish.
const SAME_WISH_MS = 1_500

/**
 * Ends the process in order at the first signal; at a second one, or when it takes too long, at once with 1. A fault that nobody caught
 * ends it in order too, with 1.
 */
export const installShutdown = (logger: () => Logger | undefined): Shutdown => {
  const closers: Closer[] = []
  let begunAt: number | undefined

  const closeAll = async (): Promise<void> => {
    for (const { name, close } of closers.splice(0).reverse()) {
      await close().catch((error: unknown) => logger()?.error({ err: error, part: name }, 'did not close well'))
    }
  }
  const close = async (reason: string): Promise<void> => {
    begunAt ??= Date.now()
    logger()?.info({ reason }, 'stopping')
    await closeAll()
  }
  const endWith = (code: number, reason: string): void => {
    if (begunAt !== undefined) {
      if (Date.now() - begunAt > SAME_WISH_MS) process.exit(1)
      return
    }
    setTimeout(() => process.exit(1), LONGEST_MS).unref()
    void close(reason).then(() => process.exit(code))
  }
  process.on('SIGINT', () => endWith(0, 'SIGINT'))
  process.on('SIGTERM', () => endWith(0, 'SIGTERM'))
  for (const event of ['uncaughtException', 'unhandledRejection'] as const) {
    process.on(event, (error: unknown) => {
      logger()?.fatal({ err: error }, event)
      endWith(1, event)
    })
  }
  return { onClose: (name, closer) => closers.push({ name, close: closer }), close }
}
