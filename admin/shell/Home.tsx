import { usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { formatDate } from '../format/dates'
import { useStaffWords } from '../i18n/words'
import { HOMES } from '../pages'
import { Icon } from '../ui/Shape'
import { navigationFor } from './navigation'
import { pathExists } from './pathExists'
import { usePageTitle } from './usePageTitle'

const Start = ({ role }: { role: Role }) => {
  const { t, language } = useStaffWords()
  const { bar, more } = navigationFor(role, pathExists)
  const [home, ...others] = [...bar, ...more]
  usePageTitle(t(home?.words ?? 'nav.today'))
  return (
    <div className="k-page">
      <h1>{formatDate(new Date().toISOString(), language)}</h1>
      <ul className="k-quiet-list k-row">
        {others.map(({ path, words, icon }) => (
          <li key={path}>
            <a className="k-button" href={`#${path}`}>
              <Icon name={icon} size={20} /> {t(words)}
            </a>
          </li>
        ))}
      </ul>
    </div>
  )
}

/** The first page after signing in: the role's own home, or the ways from here where a role has none yet. */
export const Home = () => {
  const { permissions } = usePermissions<Role | null>()
  if (!permissions) return null
  const Own = HOMES[permissions]
  return Own ? <Own /> : <Start role={permissions} />
}
