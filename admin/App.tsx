import { QueryClient } from '@tanstack/react-query'
import { Admin, CustomRoutes, Resource } from 'react-admin'
import { Route } from 'react-router-dom'
import type { SessionUser } from '#contract/access'
import { PAGES } from './pages'
import { makeAuthProvider } from './providers/authProvider'
import { makeDataProvider } from './providers/dataProvider'
import { RESOURCES } from './resources'
import { Home } from './shell/Home'
import { i18nProvider } from './shell/i18nProvider'
import { NotFound } from './shell/NotFound'
import { Shell } from './shell/Shell'
import { SignIn } from './shell/SignIn'
import { startTheme, showTheme } from './theme/device'
import { muiTheme } from './theme/mui'
import { useThemeName } from './theme/useTheme'

const takeTheme = (user: SessionUser): void => {
  if (user.role === 'member') location.assign('/member/')
  showTheme(startTheme([user.role]))
}

const authProvider = makeAuthProvider(takeTheme)
const dataProvider = makeDataProvider((key) => i18nProvider.translate(key, { _: key }))

// without a network a page asks all the same: it is shown what was last seen, or told why there is nothing, and never waits for ever
const queryClient = new QueryClient({ defaultOptions: { queries: { networkMode: 'always' }, mutations: { networkMode: 'always' } } })

const Nothing = () => null

export const App = () => (
  <Admin
    disableTelemetry
    requireAuth
    title="Kinu"
    authProvider={authProvider}
    dataProvider={dataProvider}
    queryClient={queryClient}
    i18nProvider={i18nProvider}
    theme={muiTheme(useThemeName())}
    darkTheme={null}
    layout={Shell}
    loginPage={SignIn}
    dashboard={Home}
    catchAll={NotFound}
    notification={Nothing}
  >
    {RESOURCES.map((resource) => (
      <Resource key={resource.name} {...resource} />
    ))}
    <CustomRoutes>
      {Object.entries(PAGES).map(([path, Page]) => (
        <Route key={path} path={path} element={<Page />} />
      ))}
    </CustomRoutes>
  </Admin>
)
