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
// The files of one worker share their modules: loading those anew for each file took a quarter of all the time.
const together = { ...limits, isolate: false }

// What computes only needs no database, and starts without one.
const PURE = [
  'tests/core/**/*.test.ts',
  'tests/house/**/*.test.ts',
  'tests/platform/solver/**/*.test.ts',
  'tests/seed/{check-values,reference-tables}.test.ts',
]

// Parts of the console remember who is signed in and stand in for the browser: each file of these gets modules of its own.
const CONSOLE = ['tests/console/**/*.test.{ts,tsx}']

export default defineConfig({
  ...common,
  test: {
    reporters: process.env['CI'] ? ['default'] : ['dot'],
    maxWorkers: 2,
    projects: [
      // they run in the order of their names, so that the short files of the last fill what the long ones leave
      { ...common, test: { name: 'console', include: CONSOLE, ...limits } },
      { ...common, test: { name: 'pure', include: PURE, ...together } },
      {
        ...common,
        test: {
          name: 'mill',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...PURE, ...CONSOLE],
          globalSetup: ['tests/support/database-setup.ts'],
          ...together,
        },
      },
    ],
  },
})
