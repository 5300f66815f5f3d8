import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { FieldError } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'

/** Birds are whole; what is not is null. */
export const readBirds = (typed: string): number | null => {
  const reading = readTyped(typed)
  return reading.kind === 'number' && /^\d+$/.test(reading.text) && Number(reading.text) > 0 ? Number(reading.text) : null
}

type FieldsProps = {
  readonly birds: string
  readonly onBirds: (typed: string) => void
  readonly birdsError: string | undefined
  readonly laying: boolean
  readonly onLaying: (laying: boolean) => void
  readonly layingError: string | undefined
  readonly layers: boolean
}

/** How many birds there are, and of birds kept for eggs whether they lay. */
export const FlockFields = ({ birds, onBirds, birdsError, laying, onLaying, layingError, layers }: FieldsProps) => {
  const { t } = useStaffWords()
  return (
    <>
      <NumberField
        id="birds"
        label={t('flocks.birds')}
        unit={t('flocks.birdsUnit')}
        value={birds}
        onChange={onBirds}
        error={birdsError}
        places={0}
        required
      />
      {layers && (
        <fieldset className="k-field" id="laying" tabIndex={-1}>
          <legend>{t('flocks.layingLabel')}</legend>
          <div className="k-row">
            {[false, true].map((choice) => (
              <Button
                key={String(choice)}
                pressed={laying === choice}
                kind={laying === choice ? 'main' : 'plain'}
                onPress={() => onLaying(choice)}
              >
                {t(choice ? 'flocks.laying' : 'flocks.notLaying')}
              </Button>
            ))}
          </div>
          <p className="k-caption">{t('flocks.layingNote')}</p>
          {layingError && <FieldError id="laying-error">{layingError}</FieldError>}
        </fieldset>
      )}
    </>
  )
}
