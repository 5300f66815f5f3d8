import { openDB, type DBSchema, type IDBPDatabase } from 'idb'
import type { EntryStore } from './postman'
import type { Entry } from './rules'

/** What a page showed when the mill last answered it, by person. */
export type Seen = {
  readonly userId: string
  readonly path: string
  readonly body: unknown
  readonly total: number | null
  readonly at: string
}

interface Tables extends DBSchema {
  entries: { key: number; value: Entry }
  seen: { key: [string, string]; value: Seen }
}

let opened: Promise<IDBPDatabase<Tables>> | undefined

/** One database of this browser for both entries of the console; the entries know whose they are. */
export const openTables = (): Promise<IDBPDatabase<Tables>> => (opened ??= openNew())

const openNew = (): Promise<IDBPDatabase<Tables>> =>
  openDB<Tables>('kinu', 1, {
    upgrade(db) {
      // the number that the browser gives is the order of sending
      db.createObjectStore('entries', { keyPath: 'seq', autoIncrement: true })
      db.createObjectStore('seen', { keyPath: ['userId', 'path'] })
    },
    // another page holds an older layout: let it go, so that the new one can begin
    blocking: (_current, _blocked, event) => {
      opened = undefined
      ;(event.target as IDBDatabase).close()
    },
    terminated: () => {
      opened = undefined
    },
  }).catch((cause: unknown) => {
    // a full phone may have room later
    opened = undefined
    throw cause
  })

export const entryStore: EntryStore = {
  all: async () => (await openTables()).getAll('entries'),
  async add(entry, replaces) {
    const run = (await openTables()).transaction('entries', 'readwrite', { durability: 'strict' })
    const own = (await run.store.getAll()).filter(({ userId }) => userId === entry.userId)
    const replaced = own.find(({ key, state }) => key === replaces && state === 'refused')
    if (replaced) await run.store.delete(replaced.seq)
    // the browser fills in `seq`
    if (own.every(({ key }) => key !== entry.key)) await run.store.add(entry as Entry)
    await run.done
  },
  async put(entry) {
    const run = (await openTables()).transaction('entries', 'readwrite', { durability: 'strict' })
    await run.store.put(entry)
    await run.done
  },
  async drop(seqs) {
    const run = (await openTables()).transaction('entries', 'readwrite', { durability: 'strict' })
    await Promise.all(seqs.map((seq) => run.store.delete(seq)))
    await run.done
  },
}
