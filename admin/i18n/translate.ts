export type Messages = { readonly [key: string]: string | Messages }
export type WordFacts = { readonly [name: string]: string | number }

/** Every dotted path to a text: `state.lot.released`. */
export type Paths<Tree> = Tree extends string
  ? never
  : { [K in keyof Tree & string]: Tree[K] extends string ? K : `${K}.${Paths<Tree[K]>}` }[keyof Tree & string]

/** The same tree with any texts: what every further language must fill. */
export type SameKeys<Tree> = { readonly [K in keyof Tree]: Tree[K] extends string ? string : SameKeys<Tree[K]> }

export type Translate<Key extends string> = (key: Key, facts?: WordFacts) => string

const lookUp = (messages: Messages, key: string): string | undefined => {
  let node: string | Messages | undefined = messages
  for (const part of key.split('.')) {
    if (node === undefined || typeof node === 'string') return undefined
    node = node[part]
  }
  return typeof node === 'string' ? node : undefined
}

export const PLURAL_MARK = ' |||| '

/** The form for one stands first, the form for several second: "%{smart_count} bag |||| %{smart_count} bags". */
const formFor = (text: string, count: number | string | undefined): string => {
  const [one = text, several = one] = text.split(PLURAL_MARK)
  return count === undefined || Number(count) === 1 ? one : several
}

/** Fills `%{name}`; a key that is missing comes back as itself, so that a test or a reader sees it. */
export const translate = (messages: Messages, key: string, facts: WordFacts = {}): string => {
  const text = lookUp(messages, key)
  if (text === undefined) return key
  return formFor(text, facts['smart_count']).replace(/%\{(\w+)\}/g, (whole, name: string) => String(facts[name] ?? whole))
}

/** All dotted keys with their texts. */
export const flatten = (messages: Messages, prefix = ''): readonly (readonly [string, string])[] =>
  Object.entries(messages).flatMap(([key, node]) =>
    typeof node === 'string' ? [[`${prefix}${key}`, node] as const] : flatten(node, `${prefix}${key}.`),
  )
