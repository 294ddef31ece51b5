package islet.live;

import java.nio.file.Path;
import java.util.Optional;

/**
 * Where and by which certificate the embedded broker listens with TLS 1.3.
 *
 * @param port TCP port, 1 to 65535
 * @param address the machine's address to listen on; 0.0.0.0 for all
 * @param certificate its certificate and those that vouch for it (PEM)
 * @param key the certificate's private key (PEM)
 * @param clientAuthorities who must vouch for a client's certificate (PEM); empty when none is
 *     demanded
 */
public record TlsListener(
    int port, String address, Path certificate, Path key, Optional<Path> clientAuthorities) {}
