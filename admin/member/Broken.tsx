import { Component, type ReactNode } from 'react'

type Props = { readonly fallback: ReactNode; readonly children: ReactNode }

/** A fault in one page leaves the others reachable; a new `key` tries again. */
export class Broken extends Component<Props, { broken: boolean }> {
  override state = { broken: false }

  static getDerivedStateFromError(): { broken: boolean } {
    return { broken: true }
  }

  override render(): ReactNode {
    return this.state.broken ? this.props.fallback : this.props.children
  }
}
