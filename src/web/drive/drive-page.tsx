import { useEffect, useState } from "react";
import type { GuideView, JobView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { hrefOf } from "../state/route.ts";
import { BeforeDriving } from "./before-driving.tsx";
import { Underway } from "./underway.tsx";

/** The drive guide, readable at arm's length: set up while the vehicle stands, then nothing to type. */
export default function DrivePage({ slug }: { slug: string }) {
  const [job, setJob] = useState<JobView>();
  const [guide, setGuide] = useState<GuideView | null>();
  const [problem, setProblem] = useState("");
  const [followed, setFollowed] = useState<{ readonly file: string | undefined }>();
  useEffect(() => {
    const failed = (error: Error): void => setProblem(error.message);
    client.job(slug).then(setJob, failed);
    client.guide(slug).then(setGuide, failed);
  }, [slug]);
  const back = hrefOf(slug, "recordings");
  const isIdle = problem !== "" || (job !== undefined && guide !== undefined);
  return (
    <main className="drive" data-idle={isIdle ? "yes" : "no"}>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      {!isIdle && <p role="status">Working out where to drive.</p>}
      {guide === null && (
        <>
          <h1>{job?.title}: no guide yet</h1>
          <p>
            The guide is worked out from the job's volumetric efficiency table and at least one recorded drive. Bring both, then come back.{" "}
            <a href={back}>Back to the job</a>
          </p>
        </>
      )}
      {guide !== undefined && guide !== null && followed === undefined && (
        <BeforeDriving title={job?.title ?? ""} guide={guide} back={back} start={(file) => setFollowed({ file })} />
      )}
      {guide !== undefined && guide !== null && followed !== undefined && (
        <Underway slug={slug} guide={guide} file={followed.file} stop={() => setFollowed(undefined)} />
      )}
    </main>
  );
}
