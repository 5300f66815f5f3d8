import type { ComponentType, LazyExoticComponent } from 'react'

export type MemberPage = LazyExoticComponent<ComponentType<{ params: Readonly<Record<string, string>> }>>

/** The member's pages by path pattern: `'/orders/:id': lazy(() => import('./pages/order'))`. Tabs without a page are not shown. */
export const MEMBER_PAGES: Readonly<Record<string, MemberPage>> = {}
