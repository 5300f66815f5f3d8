import { LOOK_POINTS, type LookPoint } from '#core/receiving/looks'
import { useStaffWords } from '../../i18n/words'
import { Field } from '../../ui/Field'
import { Warning, type DraftProps } from './WeightFields'

/** Two large answers a point, none chosen beforehand; what is not good asks what was seen. */
const LookPointRow = ({ point, draft, onChange, errorAt }: DraftProps & { point: LookPoint }) => {
  const { t } = useStaffWords()
  const seen = draft.looks[point]
  const set = (good: boolean, note = '') => onChange({ looks: { ...draft.looks, [point]: { good, note } } })
  const index = LOOK_POINTS.filter((other) => draft.looks[other] !== undefined).indexOf(point)
  return (
    <div className="k-look">
      <fieldset className="k-field">
        <legend>{t(`receiving.point.${point}`)}</legend>
        <div className="k-look-answers">
          {([true, false] as const).map((good) => (
            <label key={String(good)} className="k-choice">
              <input type="radio" name={`look-${point}`} checked={seen?.good === good} onChange={() => set(good, seen?.note)} />
              <span>{t(good ? 'receiving.good' : 'receiving.bad')}</span>
            </label>
          ))}
        </div>
      </fieldset>
      {seen && !seen.good && (
        <Field
          id={`receive-looks.${index}.note`}
          label={t('receiving.saw')}
          value={seen.note}
          onChange={(note) => set(false, note)}
          error={errorAt(`looks.${index}.note`)}
        />
      )}
    </div>
  )
}

/** The look-and-smell check, before the lot goes on the stack. */
export const LookFields = (props: DraftProps) => {
  const { t } = useStaffWords()
  const failed = LOOK_POINTS.some((point) => props.draft.looks[point]?.good === false)
  return (
    <section className="k-stack" aria-labelledby="receive-looks">
      <h2 id="receive-looks">{t('receiving.looks')}</h2>
      <p className="k-caption">{t('receiving.looksHint')}</p>
      {LOOK_POINTS.map((point) => (
        <LookPointRow key={point} point={point} {...props} />
      ))}
      {failed && <Warning>{t('receiving.lookFailed')}</Warning>}
    </section>
  )
}
