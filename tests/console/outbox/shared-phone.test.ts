import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { orLastSeen, startLastSeen } from '../../../admin/outbox/lastSeen'
import { signIn, signOut } from '../../../admin/providers/session'
import { emptyDraft, keepDraft, keptDraft } from '../../../admin/resources/lots/receiveDraft'

/** What lies in the table of the answers that were seen last. */
const seen = vi.hoisted(() => new Map<string, { readonly userId: string; readonly path: string; readonly at: string }>())
vi.mock('../../../admin/outbox/store', () => {
  const store = {
    put: async (row: { userId: string; path: string; at: string }) => void seen.set(`${row.userId} ${row.path}`, row),
    getAll: async () => [...seen.values()],
    getAllKeys: async () => [...seen.values()].map(({ userId, path }) => [userId, path]),
    delete: async ([userId, path]: string[]) => void seen.delete(`${userId} ${path}`),
  }
  return { openTables: async () => ({ transaction: () => ({ store, done: Promise.resolve() }) }) }
})

const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0))
const answer = { body: [{ number: 47 }], headers: new Headers() }

describe('one phone, several people', () => {
  beforeEach(() => {
    const kept = new Map<string, string>()
    vi.stubGlobal('sessionStorage', {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => void kept.set(key, value),
      removeItem: (key: string) => void kept.delete(key),
    })
    // the mill lets in whoever asks, under the name they ask by
    vi.stubGlobal('fetch', async (_: string, { body }: RequestInit) => {
      const { login } = JSON.parse(typeof body === 'string' ? body : '{}') as { login?: string }
      return new Response(login === undefined ? null : JSON.stringify({ csrfToken: 'c', user: { id: login, language: 'en' } }), {
        status: login === undefined ? 204 : 200,
      })
    })
    seen.clear()
  })
  afterEach(() => vi.unstubAllGlobals())

  test('what one was typing is there again for them, and never for the next', async () => {
    await signIn('juma', 'p')
    keepDraft({ ...emptyDraft(), netKg: '610', pricePerKg: '41' })
    expect(keptDraft()).toMatchObject({ netKg: '610' })
    await signOut()
    await signIn('amina', 'p')
    expect(keptDraft()).toMatchObject({ netKg: '', pricePerKg: '' })
    await signIn('juma', 'p')
    // nor did it lie there while the next one typed
    expect(keptDraft()).toMatchObject({ netKg: '' })
  })

  test('an answer that comes after somebody signed out is not kept for anybody', async () => {
    startLastSeen()
    await signIn('juma', 'p')
    await orLastSeen('/lots?page=1', async () => answer)
    await settle()
    expect([...seen.keys()]).toEqual(['juma /lots?page=1'])
    let arrive = (): void => undefined
    const late = orLastSeen('/lots?page=2', () => new Promise<typeof answer>((resolve) => (arrive = () => resolve(answer))))
    await signOut()
    await signIn('amina', 'p')
    arrive()
    await late
    await settle()
    expect([...seen.keys()]).toEqual([])
  })
})
