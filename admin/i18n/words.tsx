import { createContext, useContext, useMemo, type ReactNode } from 'react'
import type { en } from './en'
import type { memberEn, sharedEn } from './en-member'
import type { Language } from './language'
import { translate, type Messages, type Paths, type Translate } from './translate'

export type SharedKey = Paths<typeof sharedEn>
export type MemberKey = Paths<typeof memberEn>
export type StaffKey = Paths<typeof en>

type Words = { readonly language: Language; readonly t: Translate<string> }

const WordsContext = createContext<Words | null>(null)

/** Gives the parts of a page their words; `messages` is the whole of one language, or the member's part of it. */
export const WordsProvider = ({ language, messages, children }: { language: Language; messages: Messages; children: ReactNode }) => {
  const words = useMemo(() => ({ language, t: (key: string, facts = {}) => translate(messages, key, facts) }), [language, messages])
  return <WordsContext value={words}>{children}</WordsContext>
}

const useAnyWords = (): Words => {
  const words = useContext(WordsContext)
  if (!words) throw new Error('no WordsProvider around this part')
  return words
}

type WordsOf<Key extends string> = { readonly language: Language; readonly t: Translate<Key> }

/** For parts in `ui/`, which stand in both entries. */
export const useSharedWords = (): WordsOf<SharedKey> => useAnyWords()
/** For pages of the member's entry. */
export const useMemberWords = (): WordsOf<MemberKey> => useAnyWords()
/** For pages of the staff console. */
export const useStaffWords = (): WordsOf<StaffKey> => useAnyWords()
