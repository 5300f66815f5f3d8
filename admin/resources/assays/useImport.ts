import { useRef, useState } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import type { ImportCheckView, ImportedAssaysView } from '#contract/laboratory'
import { asProblem, type Problem } from '../../providers/http'
import { upload } from '../../providers/upload'
import { useFormKey } from '../../providers/useFormKey'
import { partsOf, textOfBytes, type FileFault } from './importFile'

/** Rows of one answer of the check; the page shows fewer at a time and asks again only beyond these. */
export const ROWS_AN_ANSWER = 500

export type Doing = { readonly what: 'reading' | 'checking' | 'recording' } | { readonly what: 'sending'; readonly percent: number }
type Chosen = { readonly name: string; readonly parts: readonly string[] }
type State = {
  readonly chosen?: Chosen | undefined
  readonly check?: ImportCheckView | undefined
  readonly recorded?: ImportedAssaysView | undefined
  readonly doing?: Doing | undefined
  readonly problem?: Problem | undefined
  readonly fileFault?: FileFault | undefined
  readonly stopped?: 'check' | 'recording' | undefined
}

/** A file of results from its choice to the books: what stands on the page, and what can be done next. */
export const useImport = () => {
  const cache = useQueryClient()
  const key = useFormKey()
  const stop = useRef<AbortController>(undefined)
  const [state, setState] = useState<State>({})

  /** Sends the file with further fields; the answer, or undefined when it was refused or stopped. */
  const send = async <T>(path: string, { parts }: Chosen, fields: object, then: 'checking' | 'recording'): Promise<T | undefined> => {
    const control = new AbortController()
    stop.current = control
    const show = (doing: Doing | undefined): void => setState((before) => ({ ...before, doing }))
    setState((before) => ({ ...before, problem: undefined, stopped: undefined, doing: { what: 'sending', percent: 0 } }))
    try {
      return await upload<T>(path, {
        body: { parts, ...fields },
        ...(then === 'recording' ? { idempotencyKey: key.current() } : {}),
        signal: control.signal,
        onSent: (share) => show(share < 1 ? { what: 'sending', percent: Math.round(share * 100) } : { what: then }),
      })
    } catch (error) {
      const stopped = control.signal.aborted ? (then === 'recording' ? 'recording' : 'check') : undefined
      setState((before) => ({ ...before, stopped, problem: stopped === undefined ? asProblem(error) : undefined }))
      return undefined
    } finally {
      show(undefined)
    }
  }
  const check = async (chosen: Chosen, page = 1): Promise<void> => {
    const answer = await send<ImportCheckView>('/assays/import/check', chosen, { page, perPage: ROWS_AN_ANSWER }, 'checking')
    if (answer) setState((before) => ({ ...before, check: answer }))
  }
  const choose = async (file: File): Promise<void> => {
    key.renew()
    setState({ doing: { what: 'reading' } })
    const read = textOfBytes(new Uint8Array(await file.arrayBuffer()))
    if (read.kind === 'fault') return setState({ fileFault: read.code })
    const chosen = { name: file.name, parts: partsOf(read.text) }
    setState({ chosen })
    await check(chosen)
  }
  const record = async (confirmedUnusual: number): Promise<void> => {
    const { chosen, check: seen } = state
    if (!chosen || !seen) return
    const fields = { fingerprint: seen.fingerprint, confirmedUnusual }
    const recorded = await send<ImportedAssaysView>('/assays/import', chosen, fields, 'recording')
    if (!recorded) return
    key.renew()
    setState({ recorded })
    await cache.invalidateQueries()
  }
  return {
    ...state,
    choose,
    record,
    check: state.check,
    checkAgain: async (page = 1) => (state.chosen ? check(state.chosen, page) : undefined),
    stop: () => stop.current?.abort(),
    another: () => setState({}),
  }
}
export type Import = ReturnType<typeof useImport>
