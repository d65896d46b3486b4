import type { StationProps } from "../shell/job-page.tsx";

export default function Intake({ desk }: StationProps) {
  return <h2>{desk.job?.title}</h2>;
}
