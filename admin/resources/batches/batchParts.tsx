import { grams } from '#core/quantity/mass'
import { formatPhone } from '../../format/phones'
import { formatKg } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useMill } from '../../providers/useMill'
import { Icon, Pictogram } from '../../ui/Shape'
import { PICTOGRAMS, type PictogramName } from '#core/pictogram/paths'
import { bagsOf, scaleFigure, type Batch } from './batchModel'
import './batches.css'

export const isPictogram = (name: string): name is PictogramName => Object.hasOwn(PICTOGRAMS, name)

/** The picture of a thing; a name that has none stays a word only. */
export const Picture = ({ name, size = 24 }: { name: string; size?: number }) =>
  isPictogram(name) ? <Pictogram name={name} size={size} /> : null

/** The shape of a pill around the word: told apart in black print and from afar. */
export const Medicated = ({ medication }: { medication?: Batch['medication'] }) => {
  const { t } = useStaffWords()
  return (
    <span className="k-pill">
      <Pictogram name="pill" size={20} />
      {medication ? t('load.medicine', { active: medication.active, dose: `${medication.mgPerKg}\u00a0mg/kg` }) : t('load.medicated')}
    </span>
  )
}

/** Who to call, with the number on the button; pressing it calls. */
export const CallManager = ({ main = false }: { main?: boolean }) => {
  const { t } = useStaffWords()
  const mill = useMill()
  if (!mill) return null
  return (
    <a className="k-button k-call" data-kind={main ? 'main' : undefined} href={`tel:${mill.phone}`}>
      <Icon name="call" size={20} /> {t('load.problemPage.call', { phone: formatPhone(mill.phone).replaceAll(' ', '\u00a0') })}
    </a>
  )
}

/** "249.3 kg = 4 bags of 50 kg and one part bag of 49.3 kg". */
export const bagsTold = (kg: string, bagKg: string, t: Translate<StaffKey>): string => {
  const { bags, part } = bagsOf(kg, bagKg)
  const shown = formatKg(kg)
  if (bags === 0) return t('load.finish.onlyPart', { kg: shown })
  const whole = t('unit.bagsOf', {
    smart_count: bags,
    size: scaleFigure(grams(Math.round(Number(bagKg) * 1000)), 'floor').replace(/\.0$/, ''),
  })
  return part === null ? t('load.finish.bags', { kg: shown, bags: whole }) : t('load.finish.bagsAndPart', { kg: shown, bags: whole, part })
}

const HELD_FOR: Readonly<Record<string, StaffKey>> = {
  'made-differs': 'load.heldFor.made-differs',
  'limit-broken': 'load.heldFor.limit-broken',
  'safety-broken': 'load.heldFor.safety-broken',
}
const LATE = /^late result of lot ([\d, ]+)(; inside again)?$/

/** Why a load is held: the mill's own reasons in words, the manager's as they were written. */
export const heldFor = (reason: string, t: Translate<StaffKey>): string => {
  const late = LATE.exec(reason)
  if (late?.[1] !== undefined) return t(late[2] === undefined ? 'load.heldFor.late' : 'load.heldFor.lateInside', { lots: late[1] })
  return reason
    .split(', ')
    .map((part) => {
      const words = HELD_FOR[part]
      return words ? t(words) : part
    })
    .join(', ')
}
