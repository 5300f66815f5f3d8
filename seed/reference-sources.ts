import { sourceTitles } from '#contract/source-titles'
import { readReferenceText } from './reference-csv.js'

/** Keys that stand before a citation in the "Sources" list of standards.README.md, in back quotes. */
const standardsTitles = (): [string, string][] =>
  readReferenceText('standards.README.md')
    .split('\n')
    .flatMap((line) => {
      const item = /^\d+\. (.*)$/.exec(line)?.[1]
      const [heads, ...rest] = item?.split(' - ') ?? []
      if (heads === undefined || rest.length === 0) return []
      const title = rest.join(' - ').replaceAll('*', '')
      return [...heads.matchAll(/`([^`]+)`/g)].flatMap(([, key]) => (key === undefined ? [] : [[key, title] satisfies [string, string]]))
    })

/** "TAG: citation" lines of ingredients.README.md; a line may hold several. "-code" and "-number" stand for a food's own number. */
const ingredientTitles = (): [string, string][] =>
  readReferenceText('ingredients.README.md')
    .split('\n')
    .flatMap((line) => {
      const match = /^- ([A-Z][A-Za-z0-9-]*): (.+)$/.exec(line)
      return match?.[1] !== undefined && match[2] !== undefined
        ? [[match[1].replace(/-(code|number)$/, ''), match[2]] satisfies [string, string]]
        : []
    })

const REMEMBERED: [string, string][] = [
  ['REC', "the author's recommended default, remembered"],
  ['TEXTBOOK', 'standard poultry nutrition and feed manufacturing textbooks and extension sheets, remembered'],
  ['NRC1994', 'National Research Council, Nutrient Requirements of Poultry, 9th ed., 1994, remembered'],
  ['NRC1994_BROWN', 'National Research Council, Nutrient Requirements of Poultry, 9th ed., 1994, brown-egg strains, remembered'],
  ['IS1374', 'Bureau of Indian Standards, IS 1374:2007, Tables 1-2, remembered'],
  ['ROSTAGNO2011', 'Brazilian tables for poultry, 3rd ed., remembered'],
  ['EAS90_UNREAD', 'East African standard for poultry feed: not read, placeholder only'],
]

/** Readable titles by source key. A key that is not here is shown as it stands. */
export const readSources = (): ReadonlyMap<string, string> =>
  new Map([...sourceTitles(), ...ingredientTitles(), ...standardsTitles(), ...REMEMBERED])
