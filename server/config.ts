import { z } from 'zod'

/** Every fault of the environment at once, by name and never by value: values may be secrets. */
export class ConfigError extends Error {
  constructor(readonly faults: readonly string[]) {
    super(['The configuration is not right:', ...faults.map((fault) => `  - ${fault}`)].join('\n'))
    this.name = 'ConfigError'
  }
}

const whole = (name: string, least: number, most: number, otherwise: number) =>
  z
    .string()
    .regex(/^\d+$/, `${name} is a whole number from ${least} to ${most}`)
    .transform(Number)
    .refine((value) => value >= least && value <= most, `${name} is a whole number from ${least} to ${most}`)
    .default(otherwise)

const flag = (name: string) => z.enum(['on', 'off'], `${name} is on or off`).transform((value) => value === 'on')

const ROLES = ['api', 'worker'] as const
const LEVELS = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const

const Environment = z.object({
  PORT: whole('PORT', 0, 65_535, 8080),
  HOST: z.string().min(1, 'HOST is an address to listen on').default('127.0.0.1'),
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'DATABASE_URL begins with postgresql://')
    .optional(),
  KINU_DATA_DIR: z.string().min(1, 'KINU_DATA_DIR is a folder').default('.data'),
  // Which is meant without it depends on what was started: `npm start` shows the demo, a process of an installation does not.
  KINU_DEMO: flag('KINU_DEMO').optional(),
  KINU_DEMO_PASSWORD: z.string().min(8, 'KINU_DEMO_PASSWORD has at least 8 characters').max(200).optional(),
  KINU_ROLES: z
    .string()
    .transform((text) => text.split(',').map((role) => role.trim()))
    .pipe(z.array(z.enum(ROLES, 'KINU_ROLES is a list of api and worker')).min(1, 'KINU_ROLES is a list of api and worker'))
    .default([...ROLES]),
  LOG_LEVEL: z.enum(LEVELS, `LOG_LEVEL is one of ${LEVELS.join(', ')}`).default('info'),
  KINU_SESSION_SECRET: z.string().min(32, 'KINU_SESSION_SECRET has at least 32 characters').optional(),
  KINU_TRUST_PROXY: flag('KINU_TRUST_PROXY').default(false),
  KINU_SECURE_COOKIES: flag('KINU_SECURE_COOKIES').default(false),
  KINU_REQUESTS_PER_MINUTE: whole('KINU_REQUESTS_PER_MINUTE', 1, 10_000_000, 1_200),
  KINU_MAX_EVENT_LOOP_DELAY_MS: whole('KINU_MAX_EVENT_LOOP_DELAY_MS', 0, 60_000, 1_000),
  KINU_DATABASE_CONNECTIONS: whole('KINU_DATABASE_CONNECTIONS', 2, 100, 8),
  KINU_SOLVER_THREADS: whole('KINU_SOLVER_THREADS', 1, 64, 1),
  KINU_SOLVER_DEADLINE_MS: whole('KINU_SOLVER_DEADLINE_MS', 100, 9_000, 4_000),
})

/** Reads the environment once into a frozen object; throws a ConfigError that lists every fault. */
export const readConfig = (environment: { readonly [name: string]: string | undefined } = process.env) => {
  const given = Object.fromEntries(Object.entries(environment).filter(([, value]) => value !== undefined && value !== ''))
  const read = Environment.safeParse(given)
  if (!read.success) throw new ConfigError(read.error.issues.map((issue) => issue.message))
  const env = read.data
  return Object.freeze({
    port: env.PORT,
    host: env.HOST,
    databaseUrl: env.DATABASE_URL,
    dataDir: env.KINU_DATA_DIR,
    demo: env.KINU_DEMO,
    demoPassword: env.KINU_DEMO_PASSWORD,
    roles: env.KINU_ROLES,
    logLevel: env.LOG_LEVEL,
    sessionSecret: env.KINU_SESSION_SECRET,
    trustProxy: env.KINU_TRUST_PROXY,
    secureCookies: env.KINU_SECURE_COOKIES,
    requestsPerMinute: env.KINU_REQUESTS_PER_MINUTE,
    maxEventLoopDelayMs: env.KINU_MAX_EVENT_LOOP_DELAY_MS,
    databaseConnections: env.KINU_DATABASE_CONNECTIONS,
    solverThreads: env.KINU_SOLVER_THREADS,
    solverDeadlineMs: env.KINU_SOLVER_DEADLINE_MS,
  })
}
export type Config = ReturnType<typeof readConfig>
