// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.net.URI;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.BookServer;
import opercle.analysis.farm.Farm;
import opercle.dashboard.calling.CallingSettings;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;

/**
 * What {@code opercle.yaml} says, checked whole.
 *
 * @param file the file, as it was named
 * @param farm the farm described in the file that it names
 * @param farmFile that file, as it was named
 * @param dataFolder where the store and the embedded broker keep their files
 * @param store where readings are kept, and for how long
 * @param bookServer where the farm book is; empty: in the data folder
 * @param mqtt the broker to use, or how to run the embedded one
 * @param mappings where JSON on topics other than Opercle's own holds readings
 * @param dashboardHost the address that the pages are served on
 * @param dashboardPort the port that the pages are served on
 * @param door who gets in to the pages
 * @param outside the watcher outside that is told that all is well; empty: none
 * @param apart how services that run apart divide the work
 * @param calling who is called when something is wrong, and by what
 */
record Configuration(
    String file,
    Farm farm,
    String farmFile,
    Path dataFolder,
    StoreSettings store,
    Optional<BookServer> bookServer,
    Mqtt mqtt,
    List<TopicMapping> mappings,
    String dashboardHost,
    int dashboardPort,
    Door door,
    Optional<SelfWatching.Outside> outside,
    Apart apart,
    CallingSettings calling) {

  /**
   * The same for one site: its tanks, under its name, with a data folder and sessions of its own.
   *
   * @throws UnusableInputException if there is no such site
   */
  Configuration ofSite(String name) {
    Apart.Site site =
        apart.sites().stream()
            .filter(s -> s.name().equals(name))
            .findFirst()
            .orElseThrow(() -> noSuchSite("there is no site \"%s\"".formatted(name)));
    Farm own =
        new Farm(
            site.name(),
            farm.altitudeM(),
            farm.tanks().stream().filter(t -> site.topics().feed(t.id(), mappings)).toList());
    return new Configuration(
        file,
        own,
        farmFile,
        dataFolder.resolve(site.name()),
        store,
        bookServer,
        mqtt.forSite(site.name()),
        mappings,
        dashboardHost,
        site.port().orElse(dashboardPort),
        door,
        outside,
        apart.of(new Apart.Chosen(site, dataFolder, farm.name())),
        calling);
  }

  /** The farms that are watched by a process each: one for each site, or the whole. */
  List<Farm> watched() {
    return apart.sites().isEmpty()
        ? List.of(farm)
        : apart.sites().stream().map(site -> ofSite(site.name()).farm()).toList();
  }

  /**
   * This, unless services run apart that watch and take in what one process would do again.
   *
   * @throws UnusableInputException if so
   */
  Configuration forOneProcess(String command) {
    if (!apart.sites().isEmpty()) {
      throw senseless(
          "sites",
          "\"%s\" watches all tanks in one process: start \"ingest\", and \"analyse\" and \"dashboard\" for each site, or take out sites"
              .formatted(command));
    }
    if (apart.share().isPresent()) {
      throw senseless(
          "ingest.share",
          "\"%s\" takes in all readings itself, and each would count twice beside those that share: start \"analyse\" and \"dashboard\" beside them, or take out ingest"
              .formatted(command));
    }
    return this;
  }

  private UnusableInputException senseless(String key, String why) {
    return new UnusableInputException(new Problem(file, 0, key, why));
  }

  /**
   * This, unless it has sites and none was chosen.
   *
   * @throws UnusableInputException if so
   */
  Configuration forOneWatch(String command) {
    if (!apart.sites().isEmpty() && apart.chosen().isEmpty()) {
      throw noSuchSite("\"%s\" is for one site: say which with --site".formatted(command));
    }
    return this;
  }

  private UnusableInputException noSuchSite(String what) {
    List<String> names = apart.sites().stream().map(Apart.Site::name).toList();
    return new UnusableInputException(
        new Problem(
            file,
            0,
            "sites",
            what + (names.isEmpty() ? "; none is described" : "; there are " + names)));
  }

  /** Where the readings are. */
  Path readingsFolder() {
    return apart.chosen().map(Apart.Chosen::readingsFolder).orElse(dataFolder);
  }

  /**
   * The broker that a service of its own shares with the others.
   *
   * @throws UnusableInputException if the configuration has none: the embedded broker is part of
   *     {@code serve}
   */
  Mqtt.Existing existingBroker(String command) {
    if (mqtt instanceof Mqtt.Existing existing) {
      return existing;
    }
    throw new UnusableInputException(
        new Problem(
            file,
            0,
            "mqtt.broker",
            "is missing: \"%s\" alone needs a broker that the services share; \"serve\" brings its own"
                .formatted(command)));
  }

  /** Where the farm book is. */
  BookPlace book() {
    return bookServer.map(BookPlace::server).orElseGet(() -> BookPlace.in(dataFolder));
  }

  /** Under which name the pages are known besides their address. */
  Set<String> names() {
    return calling.publicUrl().stream().map(URI::getHost).collect(Collectors.toUnmodifiableSet());
  }

  /** What the monitor that watches itself tells to, and asks of, the world outside. */
  SelfWatching.Beyond beyond() {
    return new SelfWatching.Beyond(outside, calling.publicUrl());
  }

  /** Which broker. */
  sealed interface Mqtt {

    /** The same with sessions of its own. */
    default Mqtt forSite(String name) {
      return this;
    }

    /**
     * The broker inside Opercle.
     *
     * @param door where it listens, and to whom
     */
    record Embedded(BrokerDoor door) implements Mqtt {}

    /**
     * A broker that runs already.
     *
     * @param broker {@code tcp://host:port} or {@code ssl://host:port}
     * @param user where it wants one
     * @param password where it wants one
     * @param caFile certificates to trust in place of the system's, PEM
     * @param clientId the first part of the client ids of Opercle's services; keep it the same over
     *     restarts
     */
    record Existing(
        URI broker,
        Optional<String> user,
        Optional<String> password,
        Optional<Path> caFile,
        String clientId)
        implements Mqtt {

      @Override
      public Mqtt forSite(String name) {
        return new Existing(broker, user, password, caFile, clientId + "-" + name);
      }
    }
  }
}
