/** What is wrong with a member, and which: `problem.linear[0].coefs.rye: is not an ingredient`. Null where nothing is. */
export type Fault = string | null

export const firstOf = (...faults: readonly (() => Fault)[]): Fault => {
  for (const fault of faults) {
    const found = fault()
    if (found !== null) return found
  }
  return null
}

/** The position of the first name that stood before. */
export function secondOf(names: readonly string[]): number {
  const seen = new Set<string>()
  return names.findIndex((name) => seen.size === seen.add(name).size)
}

export function repeated(path: string, items: readonly { readonly id: string }[] = []): Fault {
  const at = secondOf(items.map(({ id }) => id))
  return at < 0 ? null : `${path}[${at}].id: '${items[at]?.id ?? ''}' stands twice`
}

function repeatedName(path: string, names: readonly string[] = []): Fault {
  const at = secondOf(names)
  return at < 0 ? null : `${path}[${at}]: '${names[at] ?? ''}' stands twice`
}

export function stranger(path: string, names: readonly string[], known: ReadonlySet<string>, what: string): Fault {
  const found = names.find((name) => !known.has(name))
  return found === undefined ? null : `${path}.${found}: is not ${what}`
}

export function strangerAt(path: string, names: readonly string[], known: ReadonlySet<string>, what: string): Fault {
  const twice = repeatedName(path, names)
  if (twice !== null) return twice
  const at = names.findIndex((name) => !known.has(name))
  return at < 0 ? null : `${path}[${at}]: '${names[at] ?? ''}' is not ${what}`
}

export function each<T>(items: readonly T[] | undefined, faultOf: (item: T, i: number) => Fault): Fault {
  for (const [i, item] of (items ?? []).entries()) {
    const fault = faultOf(item, i)
    if (fault !== null) return fault
  }
  return null
}
