import { useState } from 'react'
import type { LotView, ReceiveLotBody } from '#contract/lots'
import { useStaffWords } from '../../i18n/words'
import { newKey, type Problem } from '../../providers/http'
import { asProblem } from '../../shell/useAct'
import { useFaultWords } from '../../shell/useFaultWords'
import { readDraft, type Faults, type ReceiveDraft } from './receiveDraft'

type Asked = {
  readonly start: () => ReceiveDraft
  /** Told of every change, so that a draft can outlive the page. */
  readonly onDraft?: (draft: ReceiveDraft) => void
  /** Undefined: it waits on this phone, and its page follows. */
  readonly send: (body: ReceiveLotBody, key: string) => Promise<LotView | undefined>
  readonly onDone: (lot: LotView, draft: ReceiveDraft) => void
}

/** A delivery being typed, received or put right: what is wrong with it, and sending it once. */
export const useReceive = ({ start, onDraft, send, onDone }: Asked) => {
  const { t } = useStaffWords()
  const faultWords = useFaultWords()
  const [draft, setDraft] = useState<ReceiveDraft>(start)
  const [tried, setTried] = useState(false)
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)
  const change = (changes: Partial<ReceiveDraft>) => {
    const next = { ...draft, ...changes }
    setDraft(next)
    onDraft?.(next)
  }
  // at the moment of the press, not of the last key
  const read = () => readDraft(draft, new Date().toISOString())
  // once it was tried, a fault goes away as soon as it is put right
  const reading = read()
  const faults: Faults = tried && reading.kind === 'faults' ? reading.faults : {}
  const errorAt = (path: string): string | undefined => {
    const own = faults[path as keyof Faults]
    if (own) return t(own)
    const field = problem?.fields.find((candidate) => candidate.path === path)
    return field && faultWords(field)
  }
  const submit = async () => {
    setTried(true)
    setProblem(undefined)
    const pressed = read()
    if (pressed.kind === 'faults') return
    setBusy(true)
    change({ receivedAt: pressed.body.receivedAt })
    try {
      const lot = await send(pressed.body, draft.key)
      if (lot) onDone(lot, draft)
    } catch (error) {
      const refused = asProblem(error)
      setProblem(refused)
      // refused: nothing was kept, so the next try is an entry of its own; without an answer it may have been taken
      if (refused.status !== 0) change({ key: newKey(), receivedAt: draft.receivedAt })
    } finally {
      setBusy(false)
    }
  }
  const wrong = [...Object.keys(faults), ...(problem?.fields.map(({ path }) => path) ?? [])]
  return { draft, change, errorAt, submit, busy, problem, wrongIds: wrong.map((path) => `receive-${path}`) }
}
