import { Suspense } from 'react'
import { useGetIdentity, useLogout, usePermissions, type LayoutProps } from 'react-admin'
import { useLocation, useNavigate } from 'react-router-dom'
import type { Role } from '#contract/access'
import { useStaffWords } from '../i18n/words'
import { mustAsk, useOutbox } from '../outbox/outbox'
import { OutboxBar } from '../outbox/OutboxBar'
import { Frame, type FrameEntry } from '../ui/Frame'
import { LanguageSwitch, PersonMenu, ThemeSwitch } from '../ui/HeaderTools'
import { Loading } from '../ui/Waiting'
import { navigationFor, type NavEntry } from './navigation'
import { Notices } from './Notices'
import './pages.css'
import { pathExists } from './pathExists'
import { useConsoleLanguage, WithWords } from './WithWords'

const Tools = () => {
  const [, changeLanguage] = useConsoleLanguage()
  const { identity } = useGetIdentity()
  const logout = useLogout()
  const { pathname } = useLocation()
  const navigate = useNavigate()
  const leave = () => void (mustAsk() ? navigate('/outbox/leave') : logout())
  return (
    <>
      <LanguageSwitch onChange={changeLanguage} />
      <ThemeSwitch />
      {identity && <PersonMenu key={pathname} name={identity.fullName ?? ''} onSignOut={leave} />}
    </>
  )
}

/** The mill ended the session while entries were waiting: the page stays with what is typed on it, and says what to do. */
const SessionEnded = () => {
  const { t } = useStaffWords()
  const { signedOut } = useOutbox()
  if (!signedOut) return null
  return (
    <div className="k-failure" role="alert">
      <p>{t('outbox.signInAgain')}</p>
      <a className="k-button" href="#/login">
        {t('sign.in')}
      </a>
    </div>
  )
}

const Inside = ({ children }: LayoutProps) => {
  const { t } = useStaffWords()
  const { permissions } = usePermissions<Role | null>()
  const { pathname } = useLocation()
  const { bar, more } = permissions ? navigationFor(permissions, pathExists) : { bar: [], more: [] }
  const isCurrent = (path: string): boolean =>
    path === '/'
      ? pathname === '/'
      : pathname === path || (pathname.startsWith(`${path}/`) && !bar.some((other) => other.path === pathname))
  const shown = ({ path, words, icon, group }: NavEntry): FrameEntry => ({
    href: `#${path}`,
    label: t(words),
    icon,
    current: isCurrent(path),
    group: group && t(group),
  })
  return (
    <Frame
      home="#/"
      tools={<Tools />}
      bar={bar.map(shown)}
      more={more.map(shown)}
      notice={
        <>
          <OutboxBar />
          <SessionEnded />
          <Notices />
        </>
      }
    >
      <Suspense fallback={<Loading />}>{children}</Suspense>
    </Frame>
  )
}

/** react-admin's layout, our own: words, header, navigation by role, page. */
export const Shell = (props: LayoutProps) => (
  <WithWords>
    <Inside {...props} />
  </WithWords>
)
