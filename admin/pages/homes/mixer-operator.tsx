import { useState } from 'react'
import { useStaffWords } from '../../i18n/words'
import { CallManager } from '../../resources/batches/batchParts'
import { BatchHead } from '../../resources/batches/BatchHead'
import { LoadWork } from '../../resources/batches/BatchShow'
import { feedName, type BatchDetail } from '../../resources/batches/batchModel'
import { asProblem } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { Empty, Loading } from '../../ui/Waiting'
import { HomePage, OpenLink } from './HomePage'
import { useHome, type Home } from './useHome'
import { useBatch } from '../../resources/batches/useBatch'

/** The load on the scales, else the next that waits; one that the manager holds is passed over. */
const currentLoad = (loads: Home['loads']): Home['loads'][number] | undefined =>
  loads.find(({ status }) => status === 'being-weighed') ?? loads.find(({ status }) => status === 'planned')

type WorkProps = { readonly id: string; readonly home: Home; readonly onTouched: () => void; readonly onNext: () => void }

const Work = ({ id, home, onTouched, onNext }: WorkProps) => {
  const { t, language } = useStaffWords()
  const { batch: read, error, refetch } = useBatch(id)
  const [answered, setAnswered] = useState<BatchDetail>()
  const batch = answered ?? read
  if (error && !batch) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (!batch) return <Loading rows={4} />
  const next = home.loads.find((load) => load.id !== id && load.status === 'planned')
  return (
    <>
      <BatchHead batch={batch} place={t('homes.mixer.of', { at: home.loadsDone + 1, all: home.loadsDone + home.loads.length })} />
      <LoadWork
        batch={batch}
        onChange={(next) => {
          setAnswered(next)
          onTouched()
        }}
      />
      {batch.finishedAt !== null && next && (
        <Button kind="main" wide onPress={onNext}>
          {t('load.finish.next', { number: next.number })}, {feedName(next, language)}
        </Button>
      )}
      <div className="k-actions">
        <CallManager />
        <OpenLink href={`#/batches/${batch.id}/show`}>{t('homes.mixer.open', { number: batch.number })}</OpenLink>
      </div>
    </>
  )
}

/** Which load now, what goes on the scale next, and who to call. */
const MixerOperatorHome = () => {
  const { t } = useStaffWords()
  const { refetch } = useHome()
  // the load stays on the page until the operator goes on, also when it is finished
  const [kept, setKept] = useState<string>()
  return (
    <HomePage title="nav.now" ownHeading>
      {(home) => {
        const id = kept ?? currentLoad(home.loads)?.id
        if (id === undefined) {
          return (
            <>
              <h1>{t('nav.now')}</h1>
              <Empty action={<OpenLink href="#/batches">{t('homes.mixer.all')}</OpenLink>}>{t('homes.mixer.none')}</Empty>
              <CallManager />
            </>
          )
        }
        const goOn = () => {
          setKept(undefined)
          void refetch()
        }
        return <Work key={id} id={id} home={home} onTouched={() => setKept(id)} onNext={goOn} />
      }}
    </HomePage>
  )
}

export default MixerOperatorHome
