import { en } from '../../i18n/en'
import { sw } from '../../i18n/sw'

/** Other words that people use for the one on screen; they stay searchable. From the mill's word list. */
const ALSO: readonly (readonly [asked: string, shown: string])[] = [
  ['omena', 'dagaa'],
  ['mukene', 'dagaa'],
  ['simsim', 'ufuta'],
  ['wimbi', 'ulezi'],
  ['lusina', 'leucaena'],
  ['alfalfa', 'lusini'],
  ['lucerne', 'lusini'],
  ['chokaa', 'limestone'],
  ['dcp', 'dicalcium'],
  ['mcp', 'monocalcium'],
  ['baking soda', 'bicarbonate'],
  ['mhogo', 'muhogo'],
  ['corn', 'maize'],
  ['pollad', 'pollard'],
  ['polad', 'pollard'],
]

const plain = (text: string): string => text.toLowerCase().replaceAll('_', ' ').trim()

/** What is looked for under the words of the mill: "omena" finds dagaa. Unchanged where no other word is known. */
export const wordAsked = (typed: string): string => {
  const words = plain(typed)
  const other = words.length < 3 ? undefined : ALSO.find(([asked]) => asked.startsWith(words))
  return other ? other[1] : typed.trim()
}

type Named = { readonly id: string; readonly nameEn: string; readonly nameSw: string }
const listed = (tree: Readonly<Record<string, string>>, id: string): string => tree[id] ?? ''

/** Everything an ingredient may be called, in both languages. */
const namesOf = ({ id, nameEn, nameSw }: Named): string =>
  plain([id, nameEn, nameSw, listed(en.ingredient, id), listed(sw.ingredient, id)].join(' '))

/** The ingredients that all typed words are found in, as typed or under the word that the mill uses; those in store first. */
export const findIngredients = <T extends Named>(typed: string, all: readonly T[]): readonly T[] => {
  const asked = [...new Set([plain(typed), plain(wordAsked(typed))])].filter((words) => words !== '')
  if (asked.length === 0) return all
  return all.filter((one) => asked.some((words) => words.split(/\s+/).every((word) => namesOf(one).includes(word))))
}
