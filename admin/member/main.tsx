import { createRoot } from 'react-dom/client'
import { keepLanguage, startLanguage } from '../i18n/language'
import { installTheme } from '../theme/device'
import '../theme/fonts.css'
import '../ui/ui.css'
import './member.css'
import { openWithoutNetwork } from '../outbox/openWithoutNetwork'
import { startOutbox } from '../outbox/outbox'
import { MemberApp } from './App'

installTheme()
keepLanguage(startLanguage('sw'))
startOutbox()
openWithoutNetwork('/member/')

const root = document.getElementById('root')
if (root) createRoot(root).render(<MemberApp />)
