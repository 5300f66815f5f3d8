import { useState } from 'react'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { CallManager } from '../resources/batches/batchParts'
import { feedName } from '../resources/batches/batchModel'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { Choice } from '../ui/Choice'
import { useHome } from './homes/useHome'
import { useNavigate } from 'react-router-dom'

/** Who to call; and for whoever may, which load to hold. */
const Problem = () => {
  const { t, language } = useStaffWords()
  const navigate = useNavigate()
  const may = useMay()
  const { data: home } = useHome()
  const [chosen, setChosen] = useState('')
  usePageTitle(t('load.problemPage.title'))
  const loads = (home?.loads ?? []).filter(({ status }) => status !== 'on-hold')
  const named = (load: (typeof loads)[number]): string => t('load.title', { number: load.number, feed: feedName(load, language) })
  const load = loads.find(({ id }) => id === chosen)
  return (
    <div className="k-page k-narrow">
      <h1>{t('load.problemPage.title')}</h1>
      <Card title={t('load.problemPage.callTitle')}>
        <p className="k-strong">{t('load.problemPage.stop')}</p>
        <CallManager main />
        <p>{t('load.problemPage.fire')}</p>
      </Card>
      <Card title={t('load.problemPage.holdTitle')}>
        {loads.length === 0 && <p>{t('load.problemPage.noLoads')}</p>}
        {loads.length > 0 && may('hold', 'batches') && (
          <>
            <Choice
              label={t('load.problemPage.which')}
              value={chosen}
              onChange={setChosen}
              choices={loads.map((row) => ({ value: row.id, label: named(row) }))}
            />
            {load && (
              <Button kind="main" wide onPress={() => void navigate(`/batches/${load.id}/hold`)}>
                {t('load.problemPage.holdIt', { number: load.number })}
              </Button>
            )}
          </>
        )}
        {loads.length > 0 && !may('hold', 'batches') && (
          <>
            <p>{t('load.problemPage.askHold')}</p>
            <ul className="k-quiet-list k-stack">
              {loads.map((row) => (
                <li key={row.id} className="k-line">
                  <span className="k-number-large">{row.number}</span> {feedName(row, language)}
                </li>
              ))}
            </ul>
          </>
        )}
      </Card>
    </div>
  )
}

export default Problem
