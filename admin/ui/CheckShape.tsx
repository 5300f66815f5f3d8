import { useSharedWords } from '../i18n/words'

export type Verdict = 'pass' | 'warn' | 'block'

const SHAPES: Readonly<Record<Verdict, readonly string[]>> = {
  pass: ['M2.5 12A9.5 9.5 0 1 0 21.5 12A9.5 9.5 0 1 0 2.5 12Z', 'M7.5 12.5L10.8 15.8L16.5 8.8'],
  warn: ['M12 2.5L22.5 21H1.5Z', 'M12 9V14.5', 'M12 17.8V17.81'],
  block: ['M7.9 2H16.1L22 7.9V16.1L16.1 22H7.9L2 16.1V7.9Z', 'M7 12H17'],
}

/** Tick in a circle, triangle with `!`, octagon with a bar: told apart without colour. */
export const CheckShape = ({ verdict, size = 24 }: { verdict: Verdict; size?: number }) => (
  <svg className={`k-check k-${verdict}`} width={size} height={size} viewBox="0 0 24 24" aria-hidden>
    {SHAPES[verdict].map((path) => (
      <path key={path} d={path} />
    ))}
  </svg>
)

/** Shape and word together, as everywhere in lists. */
export const CheckWord = ({ verdict }: { verdict: Verdict }) => {
  const { t } = useSharedWords()
  return (
    <span className={`k-check-word k-${verdict}`}>
      <CheckShape verdict={verdict} size={20} /> {t(`verdict.${verdict}`)}
    </span>
  )
}
