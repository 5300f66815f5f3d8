import { defineConfig } from 'vitest/config'

export default defineConfig({
  resolve: { conditions: ['kinu-source'] },
  ssr: { resolve: { conditions: ['kinu-source'], externalConditions: ['kinu-source'] } },
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    pool: 'forks',
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 60_000,
    reporters: process.env['CI'] ? ['default'] : ['dot'],
  },
})
