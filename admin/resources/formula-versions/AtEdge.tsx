import { useStaffWords } from '../../i18n/words'

/** A dot on a notch, as on the rails: what stands at its limit. */
export const AtEdge = () => {
  const { t } = useStaffWords()
  return (
    <>
      <svg className="k-edge-mark" width={12} height={16} viewBox="0 0 12 16" aria-hidden>
        <path d="M6 1V15" />
        <circle cx="6" cy="8" r="3.5" />
      </svg>
      <span className="k-hidden">{t('limit.atEdge')}</span>
    </>
  )
}
