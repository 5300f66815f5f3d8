import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defaultClientConditions, defineConfig } from 'vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

/** Two entries of one build: staff at `/`, members at `/member/`. The mode `gallery` builds the page of all parts for tests instead. */
const ENTRIES = { staff: here('./index.html'), member: here('./member/index.html') }
const GALLERY = { gallery: here('./gallery/index.html') }

const API_IN_DEVELOPMENT = 'http://127.0.0.1:8080'

export default defineConfig(({ mode }) => ({
  root: here('.'),
  plugins: [react()],
  // `#core/...` and `#contract/...` are read from the TypeScript sources.
  resolve: { conditions: ['kinu-source', ...defaultClientConditions] },
  build: {
    outDir: here('./dist'),
    emptyOutDir: true,
    // no file inside another: the content security policy allows our own files only
    assetsInlineLimit: 0,
    // the staff console carries its component library; the member's entry is measured by the check
    chunkSizeWarningLimit: 2000,
    rolldownOptions: { input: mode === 'gallery' ? GALLERY : ENTRIES },
  },
  server: { proxy: { '/api': { target: API_IN_DEVELOPMENT } } },
}))
