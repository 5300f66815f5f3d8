import { describe, expect, it } from 'vitest'
import { FEATURE_LEVELS, importFaults, importsOf } from '../../.tools/import-rule.js'
import { isSource, readHouse } from '../../.tools/source-files.js'

const faultsOf = (path: string, text: string): string[] => importFaults([{ path, text }])

describe('the import rule', () => {
  it('holds for every file of the house', () => {
    const files = readHouse(isSource)
    expect(files.length).toBeGreaterThan(50)
    expect(importFaults(files)).toEqual([])
  })

  it.each([
    ['a package in core', 'server/core/milling/load.ts', "import Decimal from 'decimal.js'"],
    ['a node module in core', 'server/core/milling/load.ts', "import { readFileSync } from 'node:fs'"],
    ['zod in core', 'server/core/milling/load.ts', "import { z } from 'zod'"],
    ['the contract in core', 'server/core/milling/load.ts', "import type { Lot } from '#contract/lots'"],
    ['a path upwards out of core', 'server/core/milling/load.ts', "import { command } from '../../platform/command.js'"],
    ['a second package in the contract', 'server/contract/lots.ts', "import { DateTime } from 'luxon'"],
    ['the platform in the contract', 'server/contract/lots.ts', "import { command } from '#platform/command'"],
    ['a feature in the platform', 'server/platform/command.ts', "import { postTransfer } from '#features/stock/post-transfer'"],
    ['the application in the platform', 'server/platform/command.ts', "import { buildApp } from '#server/app'"],
    ['the application in a feature', 'server/features/lots/routes.ts', "import { buildApp } from '#server/app'"],
    ['the seed in a feature', 'server/features/lots/routes.ts', "import { demo } from '#seed/index'"],
    ['orders in formulas', 'server/features/formulas/routes.ts', "import { placeOrder } from '#features/orders/place-order'"],
    ['planning in orders', 'server/features/orders/place-order.ts', "import { plan } from '../planning/plan.js'"],
    ['production in planning', 'server/features/planning/plan.ts', "export { loads } from '#features/production/loads'"],
    ['anything above in stock', 'server/features/stock/post-transfer.ts', "import type { Lot } from '#features/lots/queries'"],
    ['a feature on the same level', 'server/features/suppliers/queries.ts', "import { rows } from '#features/formulas/queries'"],
    ['a feature that nobody drew', 'server/features/weather/routes.ts', "import { rows } from '#features/lots/queries'"],
    ['a feature in the console', 'admin/pages/Lots.tsx', "import { lots } from '../../server/features/lots/queries.js'"],
    ['the platform in the console', 'admin/pages/Lots.tsx', "import { wire } from '#platform/http/wire'"],
    ['a node module in the console', 'admin/pages/Lots.tsx', "import { join } from 'node:path'"],
    ['an import() out of core', 'server/core/milling/load.ts', "const pdf = await import('pdfkit')"],
    ['an import over several lines', 'server/core/milling/load.ts', "import {\n  readFileSync,\n  writeFileSync,\n} from 'node:fs'"],
    ['an import for its effect', 'server/core/milling/load.ts', "import 'node:crypto'"],
    ['tests in the server', 'server/app.ts', "import { lot } from '../tests/support/builders.js'"],
  ])('refuses %s', (_what, path, text) => {
    expect(faultsOf(path, text)).toHaveLength(1)
  })

  it.each([
    ['core in core', 'server/core/milling/load.ts', "import { MillError } from '#core/errors'\nimport { x } from '../quantity/mass.js'"],
    [
      'zod and core in the contract',
      'server/contract/lots.ts',
      "import { z } from 'zod'\nimport { NUTRIENTS } from '#core/composition/nutrients'",
    ],
    ['packages in the platform', 'server/platform/command.ts', "import pg from 'pg'\nimport { MillError } from '#core/errors'"],
    ['stock in orders', 'server/features/orders/place-order.ts', "import { reserve } from '#features/stock/reserve'"],
    ['planning in production', 'server/features/production/loads.ts', "import { plan } from '#features/planning/queries'"],
    ['the contract in the console', 'admin/pages/Lots.tsx', "import type { Lot } from '#contract/lots'\nimport { useState } from 'react'"],
    ['every room in main', 'server/main.ts', "import { demo } from '#seed/index'\nimport { lots } from '#features/lots/routes'"],
  ])('allows %s', (_what, path, text) => {
    expect(faultsOf(path, text)).toEqual([])
  })

  it('reads past comments and strings that only look like imports', () => {
    expect(importsOf("// import 'a'\n/* import 'b' */\nconst text = `from 'c'`\nexport * from './d.js'")).toEqual(['./d.js'])
  })

  it('names every feature once', () => {
    const names = FEATURE_LEVELS.flat()
    expect(new Set(names).size).toBe(names.length)
    expect(FEATURE_LEVELS[0]).toEqual(['stock'])
  })
})
