import { hash, verify } from '@node-rs/argon2'
import { MillError } from '#core/errors'

// Algorithm 2 is argon2id. The floor that OWASP's password storage page names for argon2id; about 20 ms here.
const COST = { algorithm: 2, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const

// Each takes 19 MiB and a thread; two at a time keep the rest of the mill served, and a line of fifty is a second of waiting.
const AT_ONCE = 2
const LONGEST_LINE = 50

let working = 0
const line: (() => void)[] = []

const inTurn = async <T>(work: () => Promise<T>): Promise<T> => {
  if (working >= AT_ONCE) {
    if (line.length >= LONGEST_LINE) throw new MillError('busy')
    await new Promise<void>((resolve) => line.push(resolve))
  }
  working += 1
  try {
    return await work()
  } finally {
    working -= 1
    line.shift()?.()
  }
}

export const hashPassword = (password: string): Promise<string> => inTurn(() => hash(password.normalize('NFKC'), COST))

// What an unknown login is compared with, so that it takes as long as a known one. Nobody knows a password for it.
let nobody: Promise<string> | undefined

/** Whether the password is the one behind the hash; takes as long when there is no hash. */
export const passwordFits = async (passwordHash: string | null, password: string): Promise<boolean> => {
  nobody ??= hashPassword(crypto.randomUUID())
  const against = passwordHash ?? (await nobody)
  const fits = await inTurn(() => verify(against, password.normalize('NFKC')))
  return fits && passwordHash !== null
}
