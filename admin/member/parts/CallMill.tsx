import type { MillView } from '#contract/mill'
import { formatPhone } from '../../format/phones'
import { useMemberWords } from '../../i18n/words'
import { Icon } from '../../ui/Shape'

export const CallMill = ({ mill }: { mill: MillView }) => {
  const { t } = useMemberWords()
  if (mill.phone === '') return null
  return (
    <a className="k-button" href={`tel:${mill.phone}`}>
      <Icon name="call" size={20} />
      <span>{t('member.callMill', { phone: formatPhone(mill.phone).replaceAll(' ', '\u00a0') })}</span>
    </a>
  )
}
