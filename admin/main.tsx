import { createRoot } from 'react-dom/client'
import { z } from 'zod'
import { App } from './App'
import { keepLanguage, startLanguage } from './i18n/language'
import { openWithoutNetwork } from './outbox/openWithoutNetwork'
import { startOutbox } from './outbox/outbox'
import { installTheme } from './theme/device'
import './theme/fonts.css'
import './ui/ui.css'

// the content security policy of the mill forbids building code from text
z.config({ jitless: true })
installTheme()
keepLanguage(startLanguage())
startOutbox()
openWithoutNetwork('/', () =>
  Promise.all([
    import('./pages/hand-over'),
    import('./pages/record-results'),
    import('./pages/record-samples'),
    import('./resources/lots/LotReceive'),
    import('./resources/orders/CounterOrder'),
  ]),
)

const root = document.getElementById('root')
if (root) createRoot(root).render(<App />)
