import { useSharedWords, type SharedKey } from '../i18n/words'

/** Which shape goes with a state; the word says the rest. Shapes, not colours, tell states apart. */
const LOOKS = {
  lot: { 'on-hold': 'hold', released: 'good', rejected: 'bad', 'used-up': 'past' },
  version: { draft: 'open', submitted: 'moving', approved: 'good', withdrawn: 'past' },
  order: {
    quoted: 'open',
    ordered: 'open',
    planned: 'moving',
    'being-mixed': 'moving',
    ready: 'good',
    collected: 'past',
    cancelled: 'past',
  },
  batch: { planned: 'open', 'being-weighed': 'moving', done: 'good', 'on-hold': 'hold', cancelled: 'past' },
  entry: { 'on-this-phone': 'open', sending: 'moving', sent: 'good', refused: 'bad' },
  discrepancy: { open: 'hold', closed: 'past' },
  recall: { open: 'bad', closed: 'past' },
} as const

export type Thing = keyof typeof LOOKS
export type StateOf<T extends Thing> = keyof (typeof LOOKS)[T] & string
type Look = 'hold' | 'good' | 'bad' | 'open' | 'moving' | 'past'

const SHAPES: Readonly<Record<Look, string>> = {
  hold: 'M5.5 3V13M10.5 3V13',
  good: 'M3 8.5L6.5 12L13 4.5',
  bad: 'M3.5 3.5L12.5 12.5M12.5 3.5L3.5 12.5',
  open: 'M3 8A5 5 0 1 0 13 8A5 5 0 1 0 3 8Z',
  moving: 'M4 3L12.5 8L4 13Z',
  past: 'M3 8H13',
}

type StateWordProps<T extends Thing> = { readonly thing: T; readonly state: StateOf<T>; readonly time?: string }

/** The state of a thing, in the word that agrees with it ("mzigo umeruhusiwa", "oda imefutwa"), with its shape. */
export const StateWord = <T extends Thing>({ thing, state, time = '' }: StateWordProps<T>) => {
  const { t } = useSharedWords()
  const looks: Readonly<Record<string, Look>> = LOOKS[thing]
  const look = looks[state] ?? 'open'
  return (
    <span className="k-state" data-look={look}>
      <svg width={16} height={16} viewBox="0 0 16 16" aria-hidden>
        <path d={SHAPES[look]} />
      </svg>
      {t(`state.${thing}.${state}` as SharedKey, { time })}
    </span>
  )
}
