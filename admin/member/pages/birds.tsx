import { useMemberWords } from '../../i18n/words'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { Empty } from '../../ui/Waiting'
import { laysEggs } from '../birdKinds'
import { ageWords, asLine, type Flock } from '../model'
import { Answered } from '../parts/Answered'
import { useAnswers } from '../useAnswers'
import type { MemberKey } from '../../i18n/words'

const FlockCard = ({ flock }: { flock: Flock }) => {
  const { t } = useMemberWords()
  const words = `stage.${flock.stage}` as MemberKey
  return (
    <Card title={flock.name}>
      <div>
        <p className="m-answer">{asLine(t('unit.birds', { smart_count: flock.birds }))}</p>
        <p>
          {asLine(t(`member.birds.kinds.${flock.flockType}`))}, {ageWords(flock.ageDays, t)}
        </p>
        <p>{flock.stage === null ? t('member.birds.noStage') : asLine(t(words))}</p>
        {laysEggs(flock.flockType) && <p>{t(flock.laying ? 'member.birds.laying' : 'member.birds.notLaying')}</p>}
      </div>
      <div className="k-actions">
        <a className="k-button" href={`#/birds/${flock.id}`}>
          {t('member.birds.change')}
        </a>
        <a className="k-button" data-kind="main" href={`#/order/${flock.id}`}>
          {t('member.order.title')}
        </a>
      </div>
    </Card>
  )
}

const Birds = () => {
  const { t } = useMemberWords()
  const answers = useAnswers<[readonly Flock[]]>('/flocks?perPage=100')
  usePageTitle(t('member.tab.birds'))
  return (
    <div className="k-page m-page">
      <h1>{t('member.tab.birds')}</h1>
      <Answered answers={answers}>
        {([flocks]) => (
          <>
            {flocks.length === 0 && <Empty>{t('member.birds.empty')}</Empty>}
            {flocks.map((flock) => (
              <FlockCard key={flock.id} flock={flock} />
            ))}
            <a className="k-button" data-kind={flocks.length === 0 ? 'main' : undefined} data-wide href="#/birds/new">
              {t('member.birds.add')}
            </a>
          </>
        )}
      </Answered>
    </div>
  )
}

export default Birds
