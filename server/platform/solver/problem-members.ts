/** A list or an object that is being read: which members it has had, and where in it the reader stands. */
type Frame = { readonly names: Set<string>; at: string | number }

/** The beginning of a text, a figure, or what opens, closes and parts lists and objects. */
const TOKENS = /"|-?\d[\d.eE+-]*|[{}[\],]/g

/** Where the text that begins at `from` ends. Stepped through, because one expression over a text of megabytes runs out of stack. */
function endOfText(json: string, from: number): number {
  let at = from + 1
  while (json[at] !== '"') at += json[at] === '\\' ? 2 : 1
  return at + 1
}

/** Texts whole, figures, and what opens, closes and parts lists and objects; whether a text is the name of a member. */
function* tokensOf(json: string): Generator<{ readonly token: string; readonly isName: boolean }> {
  const tokens = new RegExp(TOKENS)
  const colon = /\s*:/y
  for (let found = tokens.exec(json); found; found = tokens.exec(json)) {
    const end = found[0] === '"' ? endOfText(json, found.index) : tokens.lastIndex
    tokens.lastIndex = end
    colon.lastIndex = end
    yield { token: json.slice(found.index, end), isName: found[0] === '"' && colon.test(json) }
  }
}

const pathOf = (frames: readonly Frame[]): string =>
  frames.reduce((path, { at }) => (typeof at === 'number' ? `${path}[${at}]` : path === '' ? at : `${path}.${at}`), '')

function nameFault(frames: readonly Frame[], name: string): string | null {
  const frame = frames.at(-1)
  if (!frame) return null
  const stoodBefore = frame.names.has(name)
  frame.names.add(name)
  frame.at = name
  if (stoodBefore) return `${pathOf(frames)}: stands twice`
  return name === '__proto__' ? `${pathOf(frames)}: cannot be the name of a member` : null
}

/** `1e-400` is read as zero, which is not what it says. */
const vanishes = (figure: string): boolean => Number(figure) === 0 && /[1-9]/.test(figure.split(/e/i)[0] ?? '')

function step(frames: Frame[], token: string): void {
  const frame = frames.at(-1)
  if (token === '{') frames.push({ names: new Set(), at: '' })
  else if (token === '[') frames.push({ names: new Set(), at: 0 })
  else if (token === '}' || token === ']') frames.pop()
  else if (token === ',' && typeof frame?.at === 'number') frame.at += 1
}

/**
 * What `JSON.parse` passes over without a word, in a text that it has taken: a member that stands twice (the last would count), `__proto__`
 * (which readers of records skip), and a figure too small to be anything but zero. Null where there is nothing of the kind.
 */
export function silentFault(json: string): string | null {
  const frames: Frame[] = []
  for (const { token, isName } of tokensOf(json)) {
    if (isName) {
      const fault = nameFault(frames, JSON.parse(token) as string)
      if (fault !== null) return fault
    } else if (/^[-\d]/.test(token)) {
      if (vanishes(token)) return `${pathOf(frames)}: ${token} is too small a figure`
    } else step(frames, token)
  }
  return null
}
