import { createRoot } from 'react-dom/client'
import { z } from 'zod'
import { App } from './App'
import { keepLanguage, startLanguage } from './i18n/language'
import { installTheme } from './theme/device'
import './theme/fonts.css'
import './ui/ui.css'

// the content security policy of the mill forbids building code from text
z.config({ jitless: true })
installTheme()
keepLanguage(startLanguage())

const root = document.getElementById('root')
if (root) createRoot(root).render(<App />)
