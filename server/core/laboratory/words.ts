/** As it is compared: without case, with one space where a person may also write a line, a dot or several spaces. */
export const plainWords = (text: string): string =>
  text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s_.:-]+/g, ' ')
    .trim()

/** Each spelling to what it means. */
export const meanings = <Name extends string>(spellings: Readonly<Record<Name, readonly string[]>>): ReadonlyMap<string, Name> =>
  new Map(
    (Object.entries(spellings) as [Name, readonly string[]][]).flatMap(([name, words]) =>
      [name, ...words].map((word): [string, Name] => [plainWords(word), name]),
    ),
  )
