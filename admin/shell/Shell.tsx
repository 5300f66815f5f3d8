import { Suspense } from 'react'
import { useGetIdentity, useLogout, usePermissions, type LayoutProps } from 'react-admin'
import { useLocation } from 'react-router-dom'
import type { Role } from '#contract/access'
import { useStaffWords } from '../i18n/words'
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
  return (
    <>
      <LanguageSwitch onChange={changeLanguage} />
      <ThemeSwitch />
      {identity && <PersonMenu key={pathname} name={identity.fullName ?? ''} onSignOut={() => void logout()} />}
    </>
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
    <Frame home="#/" tools={<Tools />} bar={bar.map(shown)} more={more.map(shown)} notice={<Notices />}>
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
