import { useStaffWords } from '../i18n/words'
import { Empty } from '../ui/Waiting'

export const NotFound = () => {
  const { t } = useStaffWords()
  return (
    <div className="k-page">
      <Empty
        action={
          <a className="k-button" href="#/">
            {t('page.home')}
          </a>
        }
      >
        {t('page.notFound')}
      </Empty>
    </div>
  )
}
