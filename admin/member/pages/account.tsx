import type { MillView } from '#contract/mill'
import { formatPhone } from '../../format/phones'
import { LANGUAGES } from '../../i18n/language'
import { useMemberWords } from '../../i18n/words'
import { mustAsk } from '../../outbox/outbox'
import { usePageTitle } from '../../shell/usePageTitle'
import { keepTheme } from '../../theme/device'
import { THEME_NAMES } from '../../theme/tokens'
import { useThemeName } from '../../theme/useTheme'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { useLanguageChoice } from '../languageChoice'
import type { Member } from '../model'
import { Answered } from '../parts/Answered'
import { CallMill } from '../parts/CallMill'
import { goTo } from '../router'
import { useMemberSession } from '../session'
import { useAnswers } from '../useAnswers'

const Facts = ({ member }: { member: Member }) => {
  const { t } = useMemberWords()
  const rows = [
    [t('member.account.name'), member.name],
    [t('member.account.number'), String(member.number)],
    [t('member.account.phone'), formatPhone(member.phone)],
    [t('member.account.village'), member.village || t('member.account.noVillage')],
  ] as const
  return (
    <Card>
      <dl className="m-facts">
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p className="k-caption">{t('member.account.wrong')}</p>
    </Card>
  )
}

const Choices = () => {
  const { t, language } = useMemberWords()
  const choose = useLanguageChoice()
  const theme = useThemeName()
  return (
    <>
      <Card title={t('language.label')}>
        <div className="k-actions">
          {LANGUAGES.map((code) => (
            <Button key={code} pressed={code === language} kind={code === language ? 'main' : 'plain'} onPress={() => choose(code)}>
              {t(`language.${code}`)}
            </Button>
          ))}
        </div>
      </Card>
      <Card title={t('theme.label')}>
        <div className="k-actions">
          {THEME_NAMES.map((name) => (
            <Button
              key={name}
              icon={name}
              pressed={name === theme}
              kind={name === theme ? 'main' : 'plain'}
              onPress={() => keepTheme(name)}
            >
              {t(`theme.${name}`)}
            </Button>
          ))}
        </div>
      </Card>
    </>
  )
}

const Account = () => {
  const { t } = useMemberWords()
  const { user, leave } = useMemberSession()
  const answers = useAnswers<[Member, MillView]>(`/members/${user?.memberId ?? ''}`, '/mill')
  usePageTitle(t('member.tab.account'))
  return (
    <div className="k-page m-page">
      <h1>{t('member.tab.account')}</h1>
      <Answered answers={answers}>
        {([member, mill]) => (
          <>
            <Facts member={member} />
            <Card title={t('member.account.mill')}>
              <p>
                {mill.name}, {mill.district}
              </p>
              <CallMill mill={mill} />
            </Card>
          </>
        )}
      </Answered>
      <Choices />
      <div>
        <a className="k-button" href="#/outbox">
          {t('outbox.title')}
        </a>
      </div>
      <div>
        <Button icon="out" onPress={() => (mustAsk() ? goTo('/outbox/leave') : leave())}>
          {t('sign.out')}
        </Button>
      </div>
    </div>
  )
}

export default Account
