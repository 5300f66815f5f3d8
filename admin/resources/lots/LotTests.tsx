import type { z } from 'zod'
import type { LotTestView } from '#contract/lots'
import { sourceTitle } from '#contract/source-titles'
import { useStaffWords } from '../../i18n/words'
import { Card, Row } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'

type LotTest = z.output<typeof LotTestView>
type Asked = Pick<LotTest, 'by' | 'ruleId' | 'source' | 'read' | 'reason'>

/** Who asks for a test: the mill with its reason, or the reference with its rule and source. */
export const useAskedBy = (): ((duty: Asked) => string) => {
  const { t, language } = useStaffWords()
  return ({ by, ruleId, source, read, reason }) => {
    if (by === null) return ''
    if (by !== 'reference') return [t(`matrix.by.${by}`), ...(reason === null ? [] : [reason])].join(': ')
    const words = [t('matrix.by.reference'), ...(ruleId === null ? [] : [t('matrix.rule', { rule: ruleId })])]
    return [...words, ...(source === null ? [] : [sourceTitle(source, language)]), ...(read ? [] : [t('matrix.memory')])].join(', ')
  }
}

const stateOf = ({ tested, duty }: LotTest) => (tested ? 'tested' : duty === 'none' ? 'unknown' : 'missing')
const verdictOf = ({ tested, duty }: LotTest) => (tested ? 'pass' : duty === 'required' ? 'block' : duty === 'asked' ? 'warn' : null)

/** What had to be tested of this lot and what was; a hazard that nobody asks for and nobody tested is unknown, not clean. */
export const LotTests = ({ tests }: { tests: readonly LotTest[] }) => {
  const { t } = useStaffWords()
  const askedBy = useAskedBy()
  return (
    <Card title={t('matrix.ofLot')} action={<a href="#/required-tests">{t('matrix.open')}</a>}>
      {tests.map((test) => {
        const verdict = verdictOf(test)
        return (
          <Row key={test.hazard}>
            <div className="k-test-line">
              {verdict ? <CheckShape verdict={verdict} size={20} /> : <span className="k-test-gap" />}
              <span>
                <b>{t(`matrix.hazard.${test.hazard}`)}</b>: {t(`matrix.${stateOf(test)}`)}
              </span>
            </div>
            <div className="k-caption">
              {[t(`matrix.dutyLong.${test.duty}`), askedBy(test)].filter((words) => words !== '').join(' · ')}
            </div>
          </Row>
        )
      })}
    </Card>
  )
}
