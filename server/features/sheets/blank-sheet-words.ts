import type { SheetKind } from '#core/sheets/sheet'
import { LOOK_POINTS, type LookPoint } from '#core/receiving/looks'

type Box = { readonly label: string; readonly columns: 1 | 2 | 4; readonly unit?: string; readonly hint?: string }
type Column = { readonly label: string; readonly share: number; readonly unit?: string }
type KindWords = {
  readonly title: string
  readonly boxes: readonly Box[]
  readonly tables: readonly { readonly title: string; readonly columns: readonly Column[]; readonly rows: number }[]
  readonly after: readonly Box[]
  readonly cautions: readonly string[]
  readonly signatures: readonly string[]
}
type Words = {
  readonly printed: (when: string, by: string) => string
  readonly use: string
  readonly when: string
  readonly looksTitle: string
  readonly looks: Readonly<Record<LookPoint, string>>
  readonly entered: string
  /** Prices are written in the currency of the mill. */
  readonly kind: (currency: string) => Readonly<Record<SheetKind, KindWords>>
}

/** More than a load and its pre-blend have rows (12 and 5 at most in three months of the demo), and still high enough for a pencil. */
const LOAD_ROWS = 13

/** The words of the blank sheets, English first, Swahili as `console.md` section 6 has them. A box is as wide as what is written in it. */
const en: Words = {
  printed: (when, by) => `Printed ${when} by ${by}`,
  use: 'Write here while there is no power. One sheet, one time.',
  when: 'WHEN IT HAPPENED: day, month, hour (00-23), minute',
  looksTitle: 'LOOK AND SMELL: tick only what is wrong',
  looks: {
    smell: 'smell',
    colour: 'colour',
    insects: 'insects',
    'wet-bags': 'wet sacks',
    'torn-bags': 'torn sacks',
    'foreign-matter': 'foreign matter',
    label: 'no label',
    'batch-number': 'no batch number',
  },
  entered: 'In the program on',
  kind: (currency) => ({
    receiving: {
      title: 'DELIVERY',
      boxes: [
        { label: 'Supplier', columns: 2 },
        { label: 'Ingredient', columns: 2 },
        { label: 'Sacks', columns: 1 },
        { label: 'Gross weight', columns: 1, unit: 'kg' },
        { label: 'Empty lorry or cart', columns: 1, unit: 'kg' },
        { label: 'One empty sack', columns: 1, unit: 'g' },
        { label: 'Net weight', columns: 1, unit: 'kg' },
        { label: 'Kilograms on the note', columns: 1, unit: 'kg' },
        { label: 'Number of the note', columns: 1 },
        { label: 'Moisture, by meter', columns: 1, unit: '%' },
        { label: 'Price a kilogram', columns: 1, unit: currency },
        { label: 'Agreed moisture', columns: 1, unit: '%' },
        { label: 'Use by', columns: 1, hint: 'day / month / year' },
        { label: 'Place in the store', columns: 1 },
        { label: 'Medicine on the label, and how much', columns: 4, hint: 'none: write NONE' },
      ],
      tables: [],
      after: [],
      cautions: [
        'Two people lift a heavy sack',
        'Wear mask and gloves',
        'Keep dry and off the floor',
        'Do not use it before it is released',
      ],
      signatures: ['received by', 'driver'],
    },
    weighing: {
      title: 'WEIGHING OF A LOAD',
      boxes: [
        { label: 'Load', columns: 1 },
        { label: 'Feed', columns: 2 },
        { label: 'Mixer', columns: 1 },
      ],
      tables: [
        {
          title: 'LOAD, as on the batch sheet; ring kg or g',
          columns: [
            { label: '#', share: 8 },
            { label: 'ingredient', share: 32 },
            { label: 'lot', share: 17 },
            { label: 'weighed', share: 43, unit: 'kg / g' },
          ],
          rows: LOAD_ROWS,
        },
        {
          title: 'PRE-BLEND, on the table scale',
          columns: [
            { label: '#', share: 9 },
            { label: 'ingredient', share: 35 },
            { label: 'lot', share: 20 },
            { label: 'weighed', share: 36, unit: 'g' },
          ],
          rows: LOAD_ROWS,
        },
      ],
      after: [
        { label: 'Mixing began', columns: 1, unit: 'hour : min' },
        { label: 'Mixing ended', columns: 1, unit: 'hour : min' },
        { label: 'Bags', columns: 1 },
        { label: 'Weighed out in bags', columns: 1, unit: 'kg' },
      ],
      cautions: [
        'Stop the machine first',
        'Two people lift a heavy sack',
        'Wear mask and gloves',
        'After a load with medicine flush the mixer',
        'Wash your hands',
      ],
      signatures: ['weighed by', 'checked by'],
    },
    collection: {
      title: 'BAGS HANDED OVER',
      boxes: [
        { label: 'Order', columns: 1 },
        { label: 'Member', columns: 2 },
        { label: 'Collection code', columns: 1 },
      ],
      tables: [
        {
          title: 'EVERY LOAD OF WHICH BAGS WERE GIVEN; its number and date are on the bag',
          columns: [
            { label: 'load', share: 20 },
            { label: 'feed before', share: 26 },
            { label: 'bags', share: 22 },
            { label: 'weight', share: 32, unit: 'kg' },
          ],
          rows: 6,
        },
      ],
      after: [
        { label: 'All bags', columns: 1 },
        { label: 'All kilograms', columns: 1, unit: 'kg' },
        { label: 'Remarks', columns: 2 },
      ],
      cautions: [
        'No bag past its date or of a load on hold',
        'Two people lift a heavy sack',
        'Feed with medicine: not for laying hens; say the days of withdrawal',
      ],
      signatures: ['handed over by', 'member'],
    },
  }),
}

const sw: Words = {
  printed: (when, by) => `Imechapishwa ${when} na ${by}`,
  use: 'Andika hapa wakati hakuna umeme. Karatasi moja, mara moja.',
  when: 'ILITOKEA LINI: siku, mwezi, saa (00-23), dakika',
  looksTitle: 'TAZAMA NA NUSA: weka alama penye tatizo tu',
  looks: {
    smell: 'harufu',
    colour: 'rangi',
    insects: 'wadudu',
    'wet-bags': 'magunia yamelowa',
    'torn-bags': 'magunia yamechanika',
    'foreign-matter': 'vitu vya kigeni',
    label: 'hakuna lebo',
    'batch-number': 'hakuna namba ya mkupuo',
  },
  entered: 'Imeingizwa kwenye programu tarehe',
  kind: (currency) => ({
    receiving: {
      title: 'KUPOKEA MZIGO',
      boxes: [
        { label: 'Msambazaji', columns: 2 },
        { label: 'Malighafi', columns: 2 },
        { label: 'Magunia', columns: 1 },
        { label: 'Uzito pamoja na gari', columns: 1, unit: 'kg' },
        { label: 'Gari au mkokoteni tu', columns: 1, unit: 'kg' },
        { label: 'Gunia tupu moja', columns: 1, unit: 'g' },
        { label: 'Uzito halisi', columns: 1, unit: 'kg' },
        { label: 'Kilo kwenye hati', columns: 1, unit: 'kg' },
        { label: 'Namba ya hati', columns: 1 },
        { label: 'Unyevu, kwa kipimo', columns: 1, unit: '%' },
        { label: 'Bei kwa kilo', columns: 1, unit: currency },
        { label: 'Unyevu uliokubaliwa', columns: 1, unit: '%' },
        { label: 'Tumia kabla ya', columns: 1, hint: 'siku / mwezi / mwaka' },
        { label: 'Mahali stoo', columns: 1 },
        { label: 'Dawa kwenye lebo, na kiasi', columns: 4, hint: 'hakuna: andika HAKUNA' },
      ],
      tables: [],
      after: [],
      cautions: [
        'Gunia zito hubebwa na watu wawili',
        'Vaa barakoa na glavu',
        'Weka pakavu, juu ya mbao, si sakafuni',
        'Usiutumie kabla haujaruhusiwa',
      ],
      signatures: ['amepokea', 'dereva'],
    },
    weighing: {
      title: 'KUPIMA MKUPUO',
      boxes: [
        { label: 'Mkupuo', columns: 1 },
        { label: 'Chakula', columns: 2 },
        { label: 'Mashine', columns: 1 },
      ],
      tables: [
        {
          title: 'MKUPUO kama karatasi yake; zungushia kg au g',
          columns: [
            { label: '#', share: 8 },
            { label: 'malighafi', share: 32 },
            { label: 'mzigo', share: 17 },
            { label: 'uzito', share: 43, unit: 'kg / g' },
          ],
          rows: LOAD_ROWS,
        },
        {
          title: 'MCHANGANYIKO WA AWALI, mizani ndogo',
          columns: [
            { label: '#', share: 9 },
            { label: 'malighafi', share: 35 },
            { label: 'mzigo', share: 20 },
            { label: 'uzito', share: 36, unit: 'g' },
          ],
          rows: LOAD_ROWS,
        },
      ],
      after: [
        { label: 'Kuchanganya: mwanzo', columns: 1, unit: 'saa : dakika' },
        { label: 'Kuchanganya: mwisho', columns: 1, unit: 'saa : dakika' },
        { label: 'Mifuko', columns: 1 },
        { label: 'Uzito wa mifuko yote', columns: 1, unit: 'kg' },
      ],
      cautions: [
        'Zima mashine kwanza',
        'Gunia zito hubebwa na watu wawili',
        'Vaa barakoa na glavu',
        'Baada ya mkupuo wenye dawa safisha kwa nafaka',
        'Nawa mikono',
      ],
      signatures: ['amepima', 'amekagua'],
    },
    collection: {
      title: 'KUKABIDHI MIFUKO',
      boxes: [
        { label: 'Oda', columns: 1 },
        { label: 'Mwanachama', columns: 2 },
        { label: 'Namba ya kuchukulia', columns: 1 },
      ],
      tables: [
        {
          title: 'KILA MKUPUO ULIOTOLEWA MIFUKO; namba na tarehe yake iko kwenye mfuko',
          columns: [
            { label: 'mkupuo', share: 20 },
            { label: 'tumia kabla ya', share: 26 },
            { label: 'mifuko', share: 22 },
            { label: 'uzito', share: 32, unit: 'kg' },
          ],
          rows: 6,
        },
      ],
      after: [
        { label: 'Mifuko yote', columns: 1 },
        { label: 'Kilo zote', columns: 1, unit: 'kg' },
        { label: 'Maelezo', columns: 2 },
      ],
      cautions: [
        'Usitoe mfuko uliopita tarehe wala wa mkupuo ulioshikiliwa',
        'Mfuko mzito: watu wawili',
        'Chakula chenye dawa: usilishe kuku wanaotaga; taja siku za kusubiri',
      ],
      signatures: ['amekabidhi', 'mwanachama'],
    },
  }),
}

export const BLANK_SHEET_WORDS: Readonly<Record<'en' | 'sw', Words>> = { en, sw }
export const looksIn = ({ looks }: Words): string[] => LOOK_POINTS.map((point) => looks[point])
