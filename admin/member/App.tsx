import { useCallback, useEffect, useRef, useState } from 'react'
import { memberEn } from '../i18n/en-member'
import { chooseLanguage, keepLanguage, languageAfterSignIn, startLanguage, type Language } from '../i18n/language'
import { memberSw } from '../i18n/sw-member'
import { useMemberWords, WordsProvider, type MemberKey } from '../i18n/words'
import { OutboxBar } from '../outbox/OutboxBar'
import { saveLanguage } from '../providers/session'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Frame } from '../ui/Frame'
import { LanguageSwitch, ThemeSwitch } from '../ui/HeaderTools'
import type { IconName } from '../ui/icons'
import { Empty, Loading } from '../ui/Waiting'
import { Broken } from './Broken'
import { LanguageChoiceProvider } from './languageChoice'
import { MEMBER_PAGES } from './pages'
import { matchPath, usePath } from './router'
import { MemberSessionProvider, useMemberSession } from './session'
import { SignIn } from './SignIn'

const TABS: readonly { path: string; words: MemberKey; icon: IconName }[] = [
  { path: '/', words: 'member.tab.home', icon: 'home' },
  { path: '/order', words: 'member.tab.order', icon: 'order' },
  { path: '/orders', words: 'member.tab.orders', icon: 'list' },
  { path: '/birds', words: 'member.tab.birds', icon: 'birds' },
  { path: '/account', words: 'member.tab.account', icon: 'person' },
]

const NotFound = () => {
  const { t } = useMemberWords()
  return (
    <div className="k-page">
      <Empty
        action={
          <a className="k-button" href="#/">
            {t('member.tab.home')}
          </a>
        }
      >
        {t('member.notFound')}
      </Empty>
    </div>
  )
}

const Page = ({ path }: { path: string }) => {
  for (const [pattern, Found] of Object.entries(MEMBER_PAGES)) {
    const params = matchPath(pattern, path)
    if (params) return <Found params={params} />
  }
  return <NotFound />
}

const Body = ({ path }: { path: string }) => {
  const { t } = useMemberWords()
  const { user, problem, reload } = useMemberSession()
  if (problem) return <FailureBar problem={problem} doing="load" onTryAgain={reload} />
  if (user === undefined) return <Loading />
  if (user === null) return <SignIn />
  const broken = (
    <div className="k-page">
      <Empty action={<Button onPress={() => location.reload()}>{t('member.reload')}</Button>}>{t('member.broken')}</Empty>
    </div>
  )
  return (
    <Broken key={path} fallback={broken}>
      <Page path={path} />
    </Broken>
  )
}

type ShellProps = { readonly onLanguage: (language: Language) => void; readonly onPerson: (language: Language) => void }

const Shell = ({ onLanguage, onPerson }: ShellProps) => {
  const { t } = useMemberWords()
  const { user } = useMemberSession()
  const path = usePath()
  const tabs = user ? TABS.filter((tab) => tab.path === '/' || tab.path in MEMBER_PAGES) : []
  const shown = useRef(path)
  useEffect(() => {
    if (shown.current === path) return
    shown.current = path
    window.scrollTo(0, 0)
    // a keyboard or a screen reader begins at the new page, not at the tab that led there
    document.getElementById('page')?.focus({ preventScroll: true })
  }, [path])
  const personal = user?.language
  useEffect(() => {
    if (personal) onPerson(languageAfterSignIn(personal))
  }, [personal, onPerson])
  return (
    <Frame
      home="#/"
      notice={<OutboxBar />}
      bar={tabs.map((tab) => ({
        href: `#${tab.path}`,
        label: t(tab.words),
        icon: tab.icon,
        current: path === tab.path || (tab.path !== '/' && path.startsWith(`${tab.path}/`)),
      }))}
      tools={
        <>
          <LanguageSwitch onChange={onLanguage} />
          <ThemeSwitch />
        </>
      }
    >
      <Body path={path} />
    </Frame>
  )
}

export const MemberApp = () => {
  const [language, setLanguage] = useState(() => startLanguage('sw'))
  const show = useCallback((next: Language) => {
    keepLanguage(next)
    setLanguage(next)
    // the screen has changed already; without a network the person's other devices learn it another time
    saveLanguage(next).catch(() => undefined)
  }, [])
  const choose = (next: Language) => {
    chooseLanguage(next)
    show(next)
  }
  return (
    <WordsProvider language={language} messages={language === 'en' ? memberEn : memberSw}>
      <MemberSessionProvider>
        <LanguageChoiceProvider value={choose}>
          <Shell onLanguage={choose} onPerson={show} />
        </LanguageChoiceProvider>
      </MemberSessionProvider>
    </WordsProvider>
  )
}
