import type { GatePriceView } from '#contract/gate-price'
import { formatAccount } from '../../format/money'
import { formatKg } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'
import type { Verdict } from '../../ui/CheckShape'

type Words = { readonly t: Translate<StaffKey>; readonly currency: string }

/** The answer in one sentence, as it is said to the driver. */
export const gateSentence = (view: GatePriceView, { t, currency }: Words): string => {
  const price = (value: number | string | null): string => formatAccount(value ?? 0, currency)
  const asked = price(view.askedPerKg)
  const days = t('unit.days', { smart_count: view.days })
  switch (view.verdict) {
    case 'take':
      return t('gate.take', { whole: price(view.whole), asked })
    case 'offer':
      return t('gate.offer', { whole: price(view.whole), asked })
    case 'part':
      return t('gate.part', { asked, used: formatKg(view.usedKg, 0), kg: formatKg(view.kg, 0), days })
    case 'not-wanted':
      return view.breakEven === null ? t('gate.useless', { days }) : t('gate.notWanted', { asked, breakEven: price(view.breakEven) })
    case 'blocked':
      return t('gate.blocked')
    case 'cannot-tell':
      return t(`gate.cannotTell.${view.reason ?? 'failed'}`)
    default:
      return view.verdict satisfies never
  }
}

/** What the mill saves at the price asked; null where there is no price. */
export const sparedSentence = (view: GatePriceView, { t, currency }: Words): string | null => {
  if (view.breakEven === null) return null
  const asked = formatAccount(view.askedPerKg, currency)
  if (!(Number(view.usedKg) > 0)) return t('gate.spareNone', { asked })
  return t('gate.spares', {
    asked,
    used: formatKg(view.usedKg, 0),
    days: t('unit.days', { smart_count: view.days }),
    money: formatAccount(view.spared, currency),
  })
}

const SHAPES = {
  take: 'pass',
  offer: 'warn',
  part: 'warn',
  'not-wanted': 'block',
  blocked: 'block',
  'cannot-tell': 'warn',
} as const satisfies Record<GatePriceView['verdict'], Verdict>
export const gateShape = ({ verdict }: GatePriceView): Verdict => SHAPES[verdict]
