import { issueSheets } from '#features/sheets/issue-sheets'
import { spoilSheet } from '#features/sheets/spoil-sheet'
import type { Deed, MomentBefore } from './past.js'

/** Sheets in the drawer: some lie so long that the manager is asked, one got wet. */
export const deedsOfSheets = (when: MomentBefore): Deed[] => [
  { at: when(20, 16, 10), run: async (past) => void (await past.do('manager', issueSheets, { kind: 'receiving', count: 4 })) },
  { at: when(5, 16, 20), run: async (past) => void (await past.do('manager', issueSheets, { kind: 'weighing', count: 3 })) },
  { at: when(5, 16, 22), run: async (past) => void (await past.do('manager', issueSheets, { kind: 'collection', count: 3 })) },
  {
    at: when(4, 9, 5),
    run: async (past) => {
      const { id } = await past.db.blankSheet.findFirstOrThrow({ where: { kind: 'receiving' }, orderBy: { number: 'asc' } })
      await past.do('store', spoilSheet, { id, reason: 'Rained on in the yard' })
    },
  },
]
