import pg from 'pg'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { StockProofView } from '#contract/stock'
import { proveStock } from '#features/stock/ledger'
import { stockAgrees } from '#features/stock/integrity'
import { balanceOf, makeLot, type BuiltLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const owner = new pg.Client({ connectionString: mill.ownerUrl })
let lot: BuiltLot
let transferId: string
beforeAll(async () => {
  await prepareMill(mill.db)
  await owner.connect()
  lot = await makeLot(mill.db, { netKg: '400' })
  transferId = (await mill.db.stockTransfer.findFirstOrThrow({ where: { entries: { some: { lotId: lot.id } } } })).id
  const store = await mill.as('store-keeper')
  for (const kg of ['399', '398', '397', '396'])
    expect((await store.post(`/lots/${lot.id}/count`, { countedKg: kg, reason: 'made for the test' })).status).toBe(200)
})
afterAll(() => owner.end())

const HISTORY = ['stock_transfer', 'stock_entry', 'audit_entry'] as const
const CHANGES: { readonly [table in (typeof HISTORY)[number]]: readonly string[] } = {
  stock_transfer: ["UPDATE stock_transfer SET reason = 'x'", 'DELETE FROM stock_transfer', 'TRUNCATE stock_transfer CASCADE'],
  stock_entry: ['UPDATE stock_entry SET kg = kg + 1', 'DELETE FROM stock_entry', 'TRUNCATE stock_entry'],
  audit_entry: ["UPDATE audit_entry SET actor_name = 'x'", 'DELETE FROM audit_entry', 'TRUNCATE audit_entry'],
}

describe('the role of the service', () => {
  it('is the restricted one, not the owner', async () => {
    const { rows } = await mill.sql.query<{ role: string; superuser: boolean }>(
      'SELECT current_user AS role, rolsuper AS superuser FROM pg_roles WHERE rolname = current_user',
    )
    expect(rows).toEqual([{ role: 'kinu_app', superuser: false }])
  })

  it.each(HISTORY.flatMap((table) => CHANGES[table]))('may not: %s', async (statement) => {
    // 42501 is PostgreSQL's insufficient_privilege.
    await expect(mill.sql.query(statement)).rejects.toMatchObject({ code: '42501' })
  })

  it.each(HISTORY)('may not switch off what guards %s, nor change the table', async (table) => {
    for (const statement of [
      `ALTER TABLE ${table} DISABLE TRIGGER ALL`,
      `DROP TRIGGER ${table}_kept ON ${table}`,
      `ALTER TABLE ${table} DROP COLUMN ${table === 'stock_entry' ? 'kg' : 'actor_id'}`,
      "SET session_replication_role = 'replica'",
    ])
      await expect(mill.sql.query(statement)).rejects.toMatchObject({ code: '42501' })
  })

  it.each(HISTORY.flatMap((table) => CHANGES[table]))(
    'is not alone held back: the trigger refuses the owner too: %s',
    async (statement) => {
      await expect(owner.query(statement)).rejects.toThrow(/history is added to, never edited|truncate/)
    },
  )

  it('may not add an entry to a movement that stands', async () => {
    const add = mill.sql.query("INSERT INTO stock_entry (transfer_id, account, kg) VALUES ($1, 'loss', 1)", [transferId])
    await expect(add).rejects.toMatchObject({ constraint: 'stock_entry_with_its_transfer' })
  })
})

/** The owner of the database can switch the guards off. What is done is undone at the end, so that each kind is seen alone. */
const tampered = async (statements: readonly string[], look: () => Promise<void>): Promise<void> => {
  const tables = ['stock_transfer', 'stock_entry', 'audit_entry']
  for (const table of tables) await owner.query(`CREATE TEMP TABLE kept_${table} AS SELECT * FROM ${table}`)
  await owner.query('SET session_replication_role = replica')
  try {
    for (const statement of statements) expect((await owner.query(statement)).rowCount, statement).toBeGreaterThan(0)
    await look()
  } finally {
    for (const table of tables.toReversed()) await owner.query(`DELETE FROM ${table}`)
    for (const table of tables) await owner.query(`INSERT INTO ${table} OVERRIDING SYSTEM VALUE SELECT * FROM kept_${table}`)
    await owner.query('SET session_replication_role = origin')
    for (const table of tables) await owner.query(`DROP TABLE kept_${table}`)
  }
  expect((await proveStock(mill.db)).whole).toBe(true)
}
const proof = async () => (await (await mill.as('manager')).get('/stock-proof')).as(StockProofView)
const lotDiffers = (ledgerOnHandKg: string) => ({
  lotNumber: lot.number,
  onHandKg: '396.000',
  ledgerOnHandKg,
  reservedKg: '0.000',
  ledgerReservedKg: '0.000',
})

describe('the proof of the books finds and locates what the owner of the database did', () => {
  it('begins whole', async () => {
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '396.000' })
    expect(await proof()).toMatchObject({ whole: true, unbalancedMovements: [], auditFault: null, auditBrokenAt: null })
  })

  it('changed kilograms: the movement, and the lot that no longer agrees', () =>
    tampered([`UPDATE stock_entry SET kg = 410 WHERE transfer_id = '${transferId}' AND account = 'lot-free'`], async () => {
      expect(await proof()).toMatchObject({
        whole: false,
        sumKg: '10.000',
        unbalancedTransfers: 1,
        unbalancedMovements: [{ id: transferId, kind: 'receipt', entries: 2, sumKg: '10.000', lotNumbers: [lot.number] }],
        lotDifferences: [lotDiffers('406.000')],
      })
      expect(await stockAgrees(mill.deps)).toContain(`the movement ${transferId} (receipt) sums to 10.000 kg`)
    }))

  it('kilograms changed on both sides, so that the movement still sums to zero: the lot', () =>
    tampered([`UPDATE stock_entry SET kg = kg + sign(kg) * 10 WHERE transfer_id = '${transferId}'`], async () => {
      expect(await proof()).toMatchObject({ whole: false, sumKg: '0.000', unbalancedTransfers: 0, lotDifferences: [lotDiffers('406.000')] })
    }))

  it('a deleted entry: the movement with its one entry left, and the lot', () =>
    tampered([`DELETE FROM stock_entry WHERE transfer_id = '${transferId}' AND account = 'lot-free'`], async () => {
      expect(await proof()).toMatchObject({
        whole: false,
        unbalancedMovements: [{ id: transferId, entries: 1, sumKg: '-400.000' }],
        lotDifferences: [lotDiffers('-4.000')],
      })
    }))

  it('an inserted entry: the movement with one entry too many', () =>
    tampered(
      [`INSERT INTO stock_entry (transfer_id, account, lot_id, kg) VALUES ('${transferId}', 'lot-free', '${lot.id}', 7)`],
      async () => {
        expect(await proof()).toMatchObject({
          whole: false,
          unbalancedMovements: [{ id: transferId, entries: 3, sumKg: '7.000' }],
          lotDifferences: [lotDiffers('403.000')],
        })
      },
    ))

  it('a whole movement that is gone: the lot', () =>
    tampered(
      [`DELETE FROM stock_entry WHERE transfer_id = '${transferId}'`, `DELETE FROM stock_transfer WHERE id = '${transferId}'`],
      async () => {
        expect(await proof()).toMatchObject({ whole: false, unbalancedTransfers: 0, lotDifferences: [lotDiffers('-4.000')] })
      },
    ))

  it('a changed row of the history: that row', () =>
    tampered(["UPDATE audit_entry SET actor_name = 'Somebody else' WHERE seq = 2"], async () => {
      expect(await proof()).toMatchObject({ whole: false, auditBrokenAt: 2, auditFault: 'row-changed', auditHead: '' })
    }))

  it('a deleted row of the history: the row after the gap', () =>
    tampered(['DELETE FROM audit_entry WHERE seq = 2'], async () => {
      expect(await proof()).toMatchObject({ whole: false, auditBrokenAt: 3, auditFault: 'chain-broken' })
    }))

  it('rows of the history in another order: the first that is out of place', () =>
    tampered(
      [
        'UPDATE audit_entry SET seq = -2 WHERE seq = 2',
        'UPDATE audit_entry SET seq = 2 WHERE seq = 3',
        'UPDATE audit_entry SET seq = 3 WHERE seq = -2',
      ],
      async () => {
        expect(await proof()).toMatchObject({ whole: false, auditBrokenAt: 2, auditFault: 'chain-broken' })
      },
    ))

  it('not a cut tail of the history, whose seal only shows beside the one written down elsewhere', async () => {
    const before = await proof()
    await tampered(['DELETE FROM audit_entry WHERE seq = (SELECT max(seq) FROM audit_entry)'], async () => {
      const after = await proof()
      expect(after.whole).toBe(true)
      expect(after.auditHead).not.toBe(before.auditHead)
      expect(after.auditEntries).toBe(before.auditEntries - 1)
    })
  })
})
