import { expect, test } from 'vitest'
import { ConfigError, readConfig } from '#server/config'

test('without any environment the mill listens on this machine alone, with its own database', () => {
  expect(readConfig({})).toMatchObject({
    port: 8080,
    host: '127.0.0.1',
    databaseUrl: undefined,
    dataDir: '.data',
    roles: ['api', 'worker'],
  })
})

test('an empty variable is as good as none', () => {
  expect(readConfig({ DATABASE_URL: '', KINU_DEMO_PASSWORD: '' })).toMatchObject({ databaseUrl: undefined, demoPassword: undefined })
})

test('every fault is told at once, by name and without the value', () => {
  const secret = 'short-secret'
  const wrong = {
    PORT: '80x',
    DATABASE_URL: 'mysql://x',
    KINU_ROLES: 'api,cook',
    LOG_LEVEL: 'loud',
    KINU_SESSION_SECRET: secret,
    KINU_DEMO: 'yes',
  }
  const read = (): unknown => readConfig(wrong)
  expect(read).toThrow(ConfigError)
  try {
    read()
  } catch (error) {
    const { faults, message } = error as ConfigError
    expect(faults).toHaveLength(6)
    for (const name of Object.keys(wrong)) expect(message).toContain(name)
    expect(message).not.toContain(secret)
  }
})

test.each(['-1', '65536', '1e3', ' 80'])('PORT=%s is refused', (PORT) => {
  expect(() => readConfig({ PORT })).toThrow(/PORT/)
})
