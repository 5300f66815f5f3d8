import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

// The rooms of package.json's "imports", as the TypeScript itself: the runner of global set-up files knows no conditions.
const ROOMS = {
  core: 'server/core',
  contract: 'server/contract',
  platform: 'server/platform',
  features: 'server/features',
  server: 'server',
  seed: 'seed',
}
const alias = Object.entries(ROOMS).map(([room, folder]) => ({
  find: new RegExp(`^#${room}/(.*)$`),
  replacement: fileURLToPath(new URL(`${folder}/$1.ts`, import.meta.url)),
}))

const common = { resolve: { alias } }
const limits = { pool: 'forks' as const, maxWorkers: 2, testTimeout: 120_000, hookTimeout: 180_000 }

// What computes only needs no database, and starts without one.
const PURE = [
  'tests/core/**/*.test.ts',
  'tests/console/**/*.test.{ts,tsx}',
  'tests/house/**/*.test.ts',
  'tests/platform/solver/**/*.test.ts',
  'tests/seed/{check-values,reference-tables}.test.ts',
]

export default defineConfig({
  ...common,
  test: {
    reporters: process.env['CI'] ? ['default'] : ['dot'],
    maxWorkers: 2,
    projects: [
      { ...common, test: { name: 'pure', include: PURE, ...limits } },
      {
        ...common,
        test: {
          name: 'mill',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: PURE,
          globalSetup: ['tests/support/database-setup.ts'],
          ...limits,
        },
      },
    ],
  },
})
