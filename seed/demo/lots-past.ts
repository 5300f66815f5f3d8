import type { RecordAssaysBody } from '#contract/laboratory'
import { recordAssays } from '#features/laboratory/record-assays'
import { holdLot } from '#features/lots/hold-lot'
import { receiveLot } from '#features/lots/receive-lot'
import { rejectLot } from '#features/lots/reject-lot'
import { releaseLot } from '#features/lots/release-lot'
import { createSupplier } from '#features/suppliers/create-supplier'
import { addDays, plainDate } from '#platform/mill-day'
import type { Deed, MomentBefore, Past } from './past.js'
import { LOTS, SUPPLIERS, type DemoLot } from './store.js'

const METHODS: Readonly<Record<string, string>> = {
  moisture: 'oven 103 C',
  CP: 'Kjeldahl, N x 6.25',
  EE: 'Soxhlet',
  CF: 'crude fibre, acid and alkali',
  ash: 'furnace 550 C',
  AIA: 'acid-insoluble ash',
  Na: 'flame photometer',
  Cl: 'titration',
  aflatoxin_total: 'strip test with reader',
}

const assaysOf = (results: NonNullable<DemoLot['results']>, measuredOn: string): RecordAssaysBody['results'] =>
  Object.entries(results).map(([analyte, value]) => ({
    analyte: analyte as RecordAssaysBody['results'][number]['analyte'],
    value,
    unit: analyte.startsWith('aflatoxin') ? 'ug/kg' : '%',
    belowDetection: false,
    ...(analyte === 'urea'
      ? { quickTest: 'urea-test' as const, reading: value === 0 ? ('none-found' as const) : ('found' as const) }
      : { quickTest: null, reading: 'figure' as const }),
    detectionLimit: null,
    sd: null,
    method: analyte === 'urea' ? '' : (METHODS[analyte] ?? 'laboratory method'),
    measuredOn,
    confirmed: true,
    supersedesId: null,
    note: '',
  }))

const revisionOf = async (past: Past, id: string): Promise<number> =>
  (await past.db.lot.findUniqueOrThrow({ where: { id }, select: { revision: true } })).revision

const decide = async (past: Past, lot: DemoLot, id: string): Promise<void> => {
  const revision = await revisionOf(past, id)
  const reason = lot.reason ?? 'Results read by the manager'
  if (lot.decision === 'release') await past.do('manager', releaseLot, { id, revision, reason, stages: [], retestOn: null })
  if (lot.decision === 'reject') await past.do('manager', rejectLot, { id, revision, reason })
}

/** A lot that is held waits from the afternoon it came. */
const holdOf = ({ daysAgo, heldFor }: DemoLot, when: MomentBefore, idOf: () => string): Deed[] =>
  heldFor === undefined
    ? []
    : [
        {
          at: when(daysAgo, 16),
          run: async (past) => {
            const until = addDays(plainDate(past.at), heldFor.days)
            await past.do('manager', holdLot, { id: idOf(), revision: await revisionOf(past, idOf()), reason: heldFor.reason, until })
          },
        },
      ]

/** A delivery and what followed: results the next morning, the manager's decision in the afternoon. */
const deedsOfLot = (lot: DemoLot, when: MomentBefore, suppliers: ReadonlyMap<string, string>): Deed[] => {
  let id = ''
  const deeds: Deed[] = [
    {
      at: when(lot.daysAgo, 8, 10),
      run: async (past) => {
        const received = await past.do('store', receiveLot, {
          ingredientId: lot.ingredient,
          supplierId: suppliers.get(lot.supplier) ?? '',
          receivedAt: past.at.toISOString(),
          bags: lot.bags,
          netKg: String(lot.netKg),
          weighing: lot.weighing ?? null,
          noteKg: lot.noteKg ?? null,
          pricePerKg: lot.pricePerKg,
          agreedMoisturePct: lot.agreedMoisturePct ?? null,
          intakeMoisturePct: lot.moisture ?? null,
          deliveryNote: lot.note ?? '',
          storagePlace: lot.place,
          expiresOn: null,
          expiryOnLabel: false,
          looks: lot.looks ?? [],
          medicationDeclared: lot.medication !== undefined,
          medication: lot.medication === undefined || lot.medication === 'none' ? null : lot.medication,
          sheet: null,
        })
        id = received.id
      },
    },
  ]
  const { results } = lot
  if (results !== undefined)
    deeds.push({
      at: when(lot.daysAgo - 1, 10, 30),
      run: async (past) => {
        await past.do('laboratory', recordAssays, { id, laboratory: 'Mill laboratory', results: assaysOf(results, plainDate(past.at)) })
      },
    })
  if (lot.decision !== undefined)
    deeds.push({ at: when(lot.daysAgo - (results === undefined ? 0 : 1), 15), run: (past) => decide(past, lot, id) })
  return [...deeds, ...holdOf(lot, when, () => id)]
}

export const deedsOfStore = (when: MomentBefore): Deed[] => {
  const suppliers = new Map<string, string>()
  const introductions = SUPPLIERS.map(({ key, name, phone, place }): Deed => ({
    at: when(90, 9),
    run: async (past) => {
      suppliers.set(key, (await past.do('manager', createSupplier, { name, phone, place })).id)
    },
  }))
  return [...introductions, ...LOTS.flatMap((lot) => deedsOfLot(lot, when, suppliers))]
}
