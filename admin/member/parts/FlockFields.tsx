import { useMemberWords } from '../../i18n/words'
import { Tick } from '../../ui/Choice'
import { Field, NumberField } from '../../ui/Field'

export type FlockTyped = { readonly name: string; readonly birds: string; readonly laying: boolean }

type FlockFieldsProps = {
  readonly value: FlockTyped
  readonly onChange: (part: Partial<FlockTyped>) => void
  readonly errorAt: (path: string) => string | undefined
  readonly birdsError: string | undefined
  /** Birds of some kinds are not kept for eggs. */
  readonly eggs: boolean
}

/** What a member may change at any time: the name, how many, and whether they lay. */
export const FlockFields = ({ value, onChange, errorAt, birdsError, eggs }: FlockFieldsProps) => {
  const { t } = useMemberWords()
  return (
    <>
      <Field
        label={t('member.birds.name')}
        hint={t('member.birds.nameHint')}
        value={value.name}
        onChange={(name) => onChange({ name })}
        error={errorAt('name')}
        required
      />
      <NumberField
        label={t('member.birds.count')}
        value={value.birds}
        onChange={(birds) => onChange({ birds })}
        unit={t('member.birds.unit')}
        error={birdsError ?? errorAt('birds')}
        required
      />
      {eggs && (
        <Tick
          label={t('member.birds.layTick')}
          hint={t('member.birds.layNote')}
          checked={value.laying}
          onChange={(laying) => onChange({ laying })}
          error={errorAt('laying')}
        />
      )}
    </>
  )
}
